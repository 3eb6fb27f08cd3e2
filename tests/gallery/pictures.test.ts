// Every synthetic ground × every layer, and every chart × language × units: drawn, and looked at as far as a test can.
// `npm run gallery` leaves them all on one page, to be looked at by a person.
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { escapeText } from '@soakline/drawing'
import { studyWater } from 'soakline/hydrology'
import { afterAll, describe, expect, test } from 'vitest'
import { CHARTS, VOICES } from './charts.js'
import { gridPicture } from './grid-picture.js'
import { contoursOf, GROUNDS, LAYERS } from './layers.js'

const figures: { readonly under: string; readonly caption: string; readonly svg: string }[] = []

afterAll(() => {
  const folder = process.env.SOAKLINE_GALLERY
  if (!folder) return
  mkdirSync(folder, { recursive: true })
  const parts = [...new Set(figures.map(({ under }) => under))].map(under => {
    const shown = figures.filter(figure => figure.under === under)
    return `<section><h2>${escapeText(under)}</h2>${shown.map(({ caption, svg }) => `<figure>${svg}<figcaption>${escapeText(caption)}</figcaption></figure>`).join('')}</section>`
  })
  writeFileSync(
    join(folder, 'index.html'),
    `<!doctype html><html lang="en"><meta charset="utf-8"><title>Soakline: every picture</title><style>body{font:14px sans-serif;margin:2rem}section{display:flex;flex-wrap:wrap;gap:1rem;align-items:end}h2{flex-basis:100%}figure{margin:0}figcaption{max-width:15rem}</style>${parts.join('')}</html>`,
  )
})

const rounded = (value: number): string => value.toPrecision(4)

describe.each(GROUNDS)('$name', ({ name, make }) => {
  const ground = make()
  const study = studyWater(ground)
  const cells = ground.data.reduce((count, z) => count + (Number.isNaN(z) ? 0 : 1), 0)

  test.each(Object.entries(LAYERS))('%s', (layer, of) => {
    const { values, stretch } = of(study)
    const picture = gridPicture(ground.geometry, values, 240, stretch)
    expect(values.length).toBe(ground.data.length)
    // A layer says nothing where the ground says nothing; at rims and on level ground it may say less.
    expect(picture.known).toBeLessThanOrEqual(cells)
    expect(Number.isFinite(picture.least) && Number.isFinite(picture.greatest)).toBe(picture.known > 0)
    figures.push({ under: name, caption: `${layer}: ${rounded(picture.least)} – ${rounded(picture.greatest)}`, svg: picture.svg })
  })

  test('contour lines', () => {
    const { width, height } = ground.geometry
    const lines = contoursOf(ground, 1)
    expect(lines.flat().every(([x, y]) => x >= 0 && y >= 0 && x <= width && y <= height)).toBe(true)
    const drawn = lines.map(line => `<polyline points="${line.map(([x, y]) => `${x.toFixed(2)},${y.toFixed(2)}`).join(' ')}"/>`).join('')
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="240" height="${Math.round((240 * height) / width)}" viewBox="0 0 ${width} ${height}"><g fill="none" stroke="#5a4632" stroke-width="0.3">${drawn}</g></svg>`
    figures.push({ under: name, caption: `contour lines, every metre: ${lines.length}`, svg })
  })
})

describe.each(Object.entries(CHARTS))('%s', (chart, draw) => {
  test.each(Object.entries(VOICES))('%s', (said, voice) => {
    const svg = draw(voice)
    expect(svg).toMatch(/^<svg [^>]*>[\s\S]*<\/svg>\s*$/)
    expect(svg).not.toMatch(/NaN|undefined|Infinity/)
    figures.push({ under: `${chart}, ${said}`, caption: chart, svg })
  })

  test('English and Spanish do not say the same', () => {
    const lettering = (svg: string): string => [...svg.matchAll(/>([^<>]*\p{L}{3}[^<>]*)</gu)].map(m => m[1]).join(' ')
    expect(lettering(draw(VOICES['English, metric']!))).not.toBe(lettering(draw(VOICES['español, métrico']!)))
  })
})
