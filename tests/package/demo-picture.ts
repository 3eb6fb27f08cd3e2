import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { planSvg, sayAnswers, sayVerdict, type Voice } from '@soakline/drawing'
import { readElevation, readFeatures, readLine, readRainTable } from '@soakline/io'
import { studyWater } from 'soakline/hydrology'
import { assess, settingsFrom, siteOf } from 'soakline/plan'
import { thinned } from 'soakline/raster'
import { contourLines, gradient } from 'soakline/terrain'
import { repositoryRoot } from '../helpers/repository.js'

const VOICE: Voice = { language: 'en', units: 'metric' }
const PANEL = { width: 400, height: 430 }
/** The ground that each panel shows, in metres of UTM zone 25 north. */
const SHOWN = {
  bench: { west_m: 512003, east_m: 512403, south_m: 4040055, north_m: 4040485 },
  spur: { west_m: 512140, east_m: 512540, south_m: 4040055, north_m: 4040485 },
}
/** Height of the lettering above a panel, and the room between the two. Unit: px. */
const [HEAD, BETWEEN] = [30, 12]

const demo = (name: string): string => readFileSync(join(repositoryRoot, 'fixtures/demo', name), 'utf8')

/** The two lines of the demo holding side by side, each with its water and its answer about buildings: the README's picture, as SVG text. */
export async function demoPicture(): Promise<string> {
  const file = readFileSync(join(repositoryRoot, 'fixtures/demo/ground.tif'))
  const { grid, projection, report } = await readElevation(Uint8Array.from(file).buffer)
  const { settings } = settingsFrom(JSON.parse(demo('settings.json')))
  const { features } = readFeatures(demo('features.geojson'), projection)
  const site = siteOf(studyWater(grid), gradient(grid), features, settings, report)
  const rain = { rows: readRainTable(demo('rain.csv')).rows }
  // Nobody sees a fifth of a pixel, and the file is a third as large.
  const contours = contourLines(grid, 1).map(line => ({ ...line, path: thinned(line.path, 0.2) }))
  const panels = (['bench', 'spur'] as const).map((name, k) => {
    const assessment = assess(site, readLine(demo(`line-${name}.geojson`), projection).path, settings, rain)
    const answer = sayAnswers(assessment, VOICE).find(({ question }) => question === 'building')!
    const clearance_m = settings.buildingClearance_m
    const plan = planSvg({ assessment, contours, features, clearance_m, extent: SHOWN[name], idPrefix: name }, VOICE, PANEL)
    const x = k * (PANEL.width + BETWEEN)
    const head = `<text x="${x}" y="20" font-size="15">The ${name}: ${answer.title} <tspan font-weight="bold">${sayVerdict(answer.verdict, VOICE)}</tspan></text>`
    const shortened = plan.replace(/(\d\.\d)\d(?=[ L"Z])/g, '$1')
    return `${head}\n${shortened.replace('<svg ', `<svg x="${x}" y="${HEAD}" `)}`
  })
  const [width, height] = [2 * PANEL.width + BETWEEN, PANEL.height + HEAD]
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" font-family="'Gill Sans','Gill Sans MT',Cabin,Candara,Calibri,'Trebuchet MS',sans-serif"><rect width="${width}" height="${height}" fill="#fff"/>\n${panels.join('\n')}\n</svg>\n`
}
