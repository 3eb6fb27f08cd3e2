import { type DrawingSetInput, drawingSetHtml, PAPER_NAMES, reportHtml, summaryText } from '@soakline/drawing'
import { placeInPlan, placeOnEarth, stakesCsv, withGroundInside, withoutGroundInside, writeGeoJson } from '@soakline/io'
import { METRES_PER } from 'soakline/foundation'
import { cascadeOf, fieldPapers, GRID_NAMES, groundWork, type Plan, plantingRows, screeningOnly, writePlan } from 'soakline/plan'
import { polygonsOf } from 'soakline/raster'
import { noGoRings } from 'soakline/siting'
import { contourInterval_m, contourLines } from 'soakline/terrain'
import { builtFrom } from '../as-built.js'
import { ASK_OPTIONS, ASK_USAGE, type Asked, answeredFrom } from '../asked.js'
import { assessmentJson, bareStakesCsv, breachJson, hydrographCsv, overflowJson } from '../assessment-files.js'
import type { Command } from '../command.js'
import { jsonText, type OutputFile, readBytes } from '../files.js'
import { gridFiles, gridsOption } from '../grid-files.js'
import { outOption, type Talk } from '../ground.js'
import { type Arguments, UsageError, wordOption } from '../usage.js'
import { VERSION } from '../version.js'

/** The whole answer about one line. */
export const assessCommand: Command = {
  name: 'assess',
  usage: `assess ${ASK_USAGE} [--as-built FILE.csv [--fresh]] [--paper A4|A3|Letter] [--ground inside|beside] [--grids NAME,…|all] --out DIR`,
  options: { ...ASK_OPTIONS, 'as-built': 'FILE', fresh: null, paper: 'A4|A3|Letter', ground: 'inside|beside', grids: 'NAME,…|all' },
  async run(args, talk) {
    const folder = outOption(args)
    const paper = wordOption(args, 'paper', PAPER_NAMES) ?? (talk.voice.units === 'us' ? 'Letter' : 'A4')
    if (args.flags.has('fresh') && !args.options.has('as-built'))
      throw new UsageError('--fresh says how the berm was read: it belongs to --as-built FILE.')
    const grids = gridsOption(args, GRID_NAMES)
    const answered = await answeredFrom(args, talk)
    const { asked, site, laid } = answered
    const built = await builtFrom(args, answered)
    const { reading, line, others, features, rain, settings, assumed, file } = asked
    const { grid, projection, report } = reading
    const answer = built?.answer ?? answered.answer
    const plan: Plan = built ? { ...asked.plan, built: built.record } : asked.plan
    const earthly = placeOnEarth(projection, line)
    const onlyLook = screeningOnly(answered.answer) !== null
    if (onlyLook) talk.warn({ code: 'stakes/screening-only', details: {} })
    const work = laid && !onlyLook && groundWork(laid, answered.answer, { ...plan, ...earthly })
    // Whole feet for readers in feet; the lines stand in the report alone.
    const unit_m = talk.voice.units === 'us' ? METRES_PER.ft : 1
    const contours = contourLines(grid, contourInterval_m((report.maximum_m - report.minimum_m) / unit_m) * unit_m)
    const noGo = noGoRings(site.noGo)
    const cascade = others.length > 0 ? cascadeOf(site, [line, ...others], settings, rain) : undefined
    const main = {
      ...assessmentJson(answer, projection, talk),
      ...(work ? { planting: plantingRows(work.planting.zones) } : {}),
      ...(built ? { asBuilt: built.json(talk.voice) } : {}),
      ...(cascade === undefined ? {} : { cascade }),
    }
    const papers = laid && work ? fieldPapers(laid, work) : null
    const input: DrawingSetInput = {
      holding: plan.holding,
      lineName: asked.lineName,
      paper,
      papers,
      stakePlaces: papers === null || projection.kind === 'local' ? null : papers.stakes.map(({ at }) => placeInPlan(projection, at)),
      dateText: new Date().toISOString().slice(0, 10),
      version: VERSION,
      assessment: answer,
      contours,
      features,
      noGo,
      settings,
      assumed,
      asBuilt: built !== null,
      groundReport: { fileName: file, crsName: report.crsName, elevationUnitFrom: report.elevationUnitFrom },
    }
    const files: OutputFile[] = [
      { name: 'assessment.json', content: jsonText(main) },
      {
        name: 'line.geojson',
        content: writeGeoJson(
          [{ shapes: [{ type: 'line', path: line }], properties: { what: 'line', length_m: answer.line.length_m } }],
          projection,
        ),
      },
      {
        name: 'catchment.geojson',
        content: writeGeoJson(
          [
            {
              shapes: polygonsOf(answer.catchment.rings),
              properties: { what: 'catchment', area_m2: answer.catchment.area_m2, cutByEdge: answer.catchment.cutByEdge },
            },
            ...answer.catchment.ridgeLines.map(path => ({ shapes: [{ type: 'line' as const, path }], properties: { what: 'ridge' } })),
          ],
          projection,
        ),
      },
      { name: 'overflow.geojson', content: overflowJson(answer, projection) },
      ...(answer.worstBreach?.overflow ? [{ name: 'breach.geojson', content: breachJson(answer, projection) }] : []),
      {
        name: 'no-go.geojson',
        content: writeGeoJson(
          noGo.map(({ reason, rings }) => ({ shapes: polygonsOf(rings), properties: { reason } })),
          projection,
        ),
      },
      ...(onlyLook
        ? []
        : [{ name: 'stakes.csv', content: work ? stakesCsv(work.stakes, projection) : bareStakesCsv(answer, reading, settings) }]),
      ...(answer.hydrograph ? [{ name: 'hydrograph.csv', content: hydrographCsv(answer) }] : []),
      { name: 'report.html', content: reportHtml(input, talk.voice) },
      { name: 'drawing-set.html', content: drawingSetHtml(input, talk.voice) },
      ...(await gridFiles(grids, { study: site.study, gradient: site.gradient, noGo: () => site.noGo, answer }, projection)),
      { name: 'plan.soakline.json', content: writePlan(await withItsGround(plan, args, asked, talk)) },
    ]
    return {
      folder,
      main,
      files,
      summary: [...summaryText(answer, talk.voice), ...(built ? ['', ...built.said(talk.voice)] : [])],
      exitCode: answer.findings.some(f => f.verdict === 'fails') ? 4 : 0,
    }
  },
}

/** The plan with its raster inside or beside it, as `--ground` says; without a word as the plan was, and beside a new one. */
async function withItsGround(plan: Plan, args: Arguments, { file, read }: Asked, { warn }: Talk): Promise<Plan> {
  const where = wordOption(args, 'ground', ['inside', 'beside'])
  if (where === 'beside') return withoutGroundInside(plan)
  if (where === undefined || plan.ground.inside) return plan
  const inside = await withGroundInside(plan, new Uint8Array(await readBytes(file)), read)
  warn({ code: 'plan/ground-inside', details: { size_MB: Math.ceil(inside.ground.inside!.base64.length / 1e5) / 10 } })
  return inside
}
