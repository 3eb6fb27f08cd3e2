import {
  crossSectionSvg,
  escapeText,
  fittingScale,
  hydrographSvg,
  longSectionSvg,
  plainText,
  planSvg,
  planToScaleSvg,
  reportHtml,
  sayFinding,
  summaryText,
  verdictMark,
  wordsOf,
} from '@soakline/drawing'
import type { Assessment } from 'soakline/plan'
import { NO_GO_REASONS } from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, fullFinding, hillside } from './hillside.js'

/** Names of tags that do not nest as XML must; an attribute without quotes counts too. */
function misnested(svg: string): string[] {
  const faults: string[] = []
  const open: string[] = []
  for (const [, close, name, attributes, alone] of svg.matchAll(/<(\/?)([a-zA-Z]+)((?:\s+[a-zA-Z:-]+="[^"<]*")*)\s*(\/?)>/g)) {
    if (close) {
      if (open.pop() !== name) faults.push(name!)
    } else if (!alone) open.push(name!)
    if (attributes && /=\s*[^"]/.test(attributes.replace(/="[^"]*"/g, ''))) faults.push(attributes)
  }
  const rest = svg.replace(/<(\/?)([a-zA-Z]+)((?:\s+[a-zA-Z:-]+="[^"<]*")*)\s*(\/?)>/g, '')
  return [...faults, ...open, ...(rest.match(/[<>]/g) ?? [])]
}

const NASTY = `<script>alert(1)</script>"'&\u001b[31m\u202e<img src=x onerror=1>`

describe('to scale', () => {
  const input = hillside()
  const page = { scale: 500, width_mm: 400, height_mm: 380 }
  const svg = planToScaleSvg(input, EN, page)

  test('the view box is in the millimetres of the page', () => {
    expect(svg).toContain('width="400mm" height="380mm" viewBox="0 0 400 380"')
  })

  test('100 m at 1:500 are 200 mm', () => {
    const { path } = input.assessment.line
    const straight: Assessment = {
      ...input.assessment,
      line: {
        ...input.assessment.line,
        path: [
          [50, 100],
          [150, 100],
        ],
        noGo: [],
      },
      spills: [],
    }
    expect(path.length).toBeGreaterThan(2)
    const drawn = planToScaleSvg({ ...input, assessment: straight }, EN, page)
    const lines = [...drawn.matchAll(/d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"/g)].map(m => m.slice(1).map(Number))
    const long = lines.filter(([x1, y1, x2, y2]) => Math.hypot(x2! - x1!, y2! - y1!) > 100)
    expect(long.length).toBe(1)
    expect(long[0]![2]! - long[0]![0]!).toBeCloseTo(200, 1)
    expect(long[0]![3]).toBe(long[0]![1])
  })

  test('the scale that fits holds the whole line, and the next larger one would not fit', () => {
    const scale = fittingScale(input, EN, { width_mm: 180, height_mm: 190 })
    expect([500, 750, 1000, 1250, 1500, 2000]).toContain(scale)
    // An inch is a whole number of feet in US units.
    expect(fittingScale(input, EN_US, { width_mm: 180, height_mm: 190 }) % 12).toBe(0)
  })
})

describe('every drawing is well-formed', () => {
  const input = hillside({ buildingName: NASTY })
  for (const voice of [EN, EN_US, ES, ES_US])
    test(`${voice.language} ${voice.units}`, () => {
      const drawings = [
        planSvg(input, voice, { width: 800, height: 600 }),
        planSvg({ ...input, night: true }, voice, { width: 360, height: 500 }),
        planToScaleSvg(input, voice, { scale: 1000, width_mm: 180, height_mm: 190 }),
        longSectionSvg(input.assessment, voice),
        crossSectionSvg(input.assessment.section!, voice),
        hydrographSvg(input.assessment, voice)!,
        hydrographSvg(input.assessment, voice, { width: 330, height: 330 })!,
        verdictMark('watch', NASTY),
      ]
      for (const svg of drawings) {
        expect(misnested(svg)).toEqual([])
        expect(svg).not.toMatch(/NaN|Infinity|undefined|e-\d|url\((?!#)/)
      }
    })
})

test('each verdict has a shape of its own', () => {
  const shapes = (['holds', 'watch', 'fails', 'unknown'] as const).map(v => verdictMark(v, '').replace(/(fill|stroke)="#[0-9A-F]+"/g, ''))
  expect(new Set(shapes).size).toBe(4)
})

test('each no-go reason has a pattern of its own, and an unknown one is hatched too', () => {
  const input = hillside()
  const rings = input.noGo![0]!.rings
  const patterns = [...NO_GO_REASONS, 'new-reason'].map(reason => {
    const svg = planSvg({ ...input, noGo: [{ reason, rings }] }, EN, { width: 300, height: 300 })
    return svg.match(new RegExp(`<pattern id="plan-no-go-${reason}"(.*?)</pattern>`))?.[1]
  })
  expect(patterns.every(pattern => pattern !== undefined)).toBe(true)
  expect(new Set(patterns).size).toBe(patterns.length)
})

test('references in a drawing point to what is in it', () => {
  const svg = planSvg(
    { ...hillside(), idPrefix: 'other', noGo: [{ reason: 'a "quoted" <reason>', rings: hillside().noGo![0]!.rings }] },
    EN,
    { width: 300, height: 300 },
  )
  const ids = [...svg.matchAll(/ id="([^"]+)"/g)].map(m => m[1])
  for (const [, to] of svg.matchAll(/url\(#([^)]+)\)/g)) expect(ids).toContain(to)
  expect(ids.every(id => id!.startsWith('other-'))).toBe(true)
})

test('an assessment with nothing around it still draws', () => {
  const { assessment } = hillside()
  const bare: Assessment = {
    ...assessment,
    catchment: { ...assessment.catchment, rings: [], ridge: null, ridgeLines: [] },
    spills: [],
    storms: [],
    storage: null,
    section: null,
    earth: null,
    findings: [],
    profile: [],
  }
  const input = { ...hillside(), assessment: bare, contours: [], features: [], noGo: [] }
  expect(misnested(planSvg(input, EN, { width: 400, height: 300 }))).toEqual([])
  expect(longSectionSvg(bare, EN)).toContain('no section can be drawn')
  const html = reportHtml(input, EN)
  expect(html).toContain('Water volumes are unknown, not zero.')
  expect(html).not.toMatch(/NaN|undefined|Infinity/)
})

describe('the report', () => {
  const html = reportHtml(hillside(), EN)

  test('stands alone: a strict policy, no scripts, nothing fetched', () => {
    expect(html).toContain(
      `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">`,
    )
    expect(html).not.toMatch(/<script|<link|<img|<iframe|@import|url\((?!#)|\son\w+=/i)
    expect(html.match(/https?:\/\/[^"]+/g)?.filter(url => url !== 'http://www.w3.org/2000/svg') ?? []).toEqual([])
  })

  test('says what it is, from what, and by which version', () => {
    for (const text of [
      'Loma Alta',
      '25 November 2026',
      'lidar-2023.tif',
      'WGS 84 / UTM zone 18N',
      'Soakline 0.1.0',
      '9f86d081884c7d65',
      '1:1,250',
      'It proves nothing'.slice(3),
    ])
      expect(html).toContain(text)
  })

  test('defaults are marked as assumed, what was set is not', () => {
    expect(html).toMatch(/Width of the bed<\/td><td>1\.2\u00a0m<\/td><td><span class="given">given/)
    expect(html).toMatch(/Width of the berm’s crest<\/td><td>0\.5\u00a0m<\/td><td><span class="assumed">assumed/)
  })

  test('what was not looked at leaves out what somebody has answered', () => {
    const input = hillside()
    const { notConsideredItems: items } = wordsOf(EN).report
    for (const assumed of [input.assumed, input.assumed.filter(key => key !== 'burnedAbove')]) {
      const told = reportHtml({ ...input, assumed }, EN)
      expect(told.includes(items['burned-ground'])).toBe(assumed.includes('burnedAbove'))
      expect(told).toContain(items['dispersive-soil'])
    }
  })

  test('the line in numbers stands in both systems of units, the reader’s first', () => {
    const rows = (voice: typeof EN): string[] =>
      [...reportHtml(hillside(), voice).matchAll(/<td class="number">([^<]+)<\/td><td class="number other">([^<]+)<\/td>/g)].map(
        m => `${m[1]} | ${m[2]}`,
      )
    const [metric, feet] = [rows(EN), rows(EN_US)]
    expect(metric.length).toBeGreaterThan(10)
    expect(metric[0]).toMatch(/^\d+ m \| \d+ ft$/)
    expect(feet).toEqual(metric.map(row => row.split(' | ').reverse().join(' | ')))
  })

  test('every finding is there with its mark and its next step', () => {
    const { findings } = hillside().assessment
    expect(html.match(/<td class="verdict">/g)).toHaveLength(findings.length)
    expect(html).toContain('Move the line off that stretch, or end it before it.')
  })

  test('a remark without a sentence shows its code', () => {
    expect(html).toContain('strange/new-code')
  })

  test('where the catchment is cut, volumes are at least so much', () => {
    const cut = reportHtml(hillside({ cut: true }), EN)
    expect(cut).toContain('≥ 670\u00a0m³')
    expect(cut).toContain('real volumes are larger than these')
  })

  test('its language is declared', () => {
    expect(reportHtml(hillside(), ES)).toContain('<html lang="es">')
    expect(reportHtml(hillside(), { ...ES, locale: 'es-MX' })).toContain('<html lang="es-MX">')
  })

  test('ids are unique, so that no pattern is drawn by another', () => {
    const ids = [...html.matchAll(/ id="([^"]+)"/g)].map(m => m[1]!)
    expect(ids.filter((id, k) => ids.indexOf(id) !== k)).toEqual([])
  })
})

describe('text from files', () => {
  test('is escaped wherever it stands', () => {
    const nasty = {
      ...hillside({ buildingName: NASTY }),
      holding: NASTY,
      dateText: NASTY,
      version: NASTY,
      groundReport: { fileName: NASTY, crsName: NASTY, elevationUnitFrom: NASTY },
    }
    const warned: Assessment = {
      ...nasty.assessment,
      ground: {
        ...nasty.assessment.ground,
        sha256: NASTY,
        warnings: [
          { code: 'grid/nodata-unreadable', details: { text: NASTY } },
          { code: `x/${NASTY}`, details: { [NASTY]: NASTY } },
        ],
      },
      runoff: { ...nasty.assessment.runoff, curveNumberSource: NASTY },
      findings: [
        {
          ...fullFinding('overflow/near-building'),
          because: 'overflow/near-building',
          source: NASTY,
          details: { name: NASTY, reasons: NASTY },
        },
      ],
      spills: nasty.assessment.spills.map(s => ({ ...s, reasons: [NASTY] })),
    }
    for (const voice of [EN, ES]) {
      const html = reportHtml({ ...nasty, assessment: warned, noGo: [{ reason: NASTY, rings: nasty.noGo![0]!.rings }] }, voice)
      expect(html).not.toMatch(/<script|<img/i)
      expect(html).toContain('&lt;script&gt;')
      for (const control of ['\u001b', '\u202e']) expect(html).not.toContain(control)
    }
  })

  test('brings no control characters to a terminal', () => {
    const lines = summaryText(hillside({ buildingName: NASTY }).assessment, EN).join('\n')
    expect(lines).not.toContain('\u001b')
    expect(sayFinding({ ...fullFinding('overflow/near-building'), details: { name: NASTY } }, EN)).not.toContain('\u001b')
  })

  test('escapeText', () => {
    expect(escapeText(`<a href="x">&'`)).toBe('&lt;a href=&quot;x&quot;&gt;&amp;&#39;')
    expect(plainText('a\u0000b\ud800c\u0085d\ttab')).toBe('abcd\ttab')
    expect(plainText('Ñandú 🌱')).toBe('Ñandú 🌱')
  })
})
