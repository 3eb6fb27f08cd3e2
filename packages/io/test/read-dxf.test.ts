import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type FieldDrawing, localProjection, looksLikeDxf, openProjection, readLineFile, readVectorFile, writeDxf } from '@soakline/io'
import { InputError, METRES_PER, seededRandom } from 'soakline/foundation'
import type { Point } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'
import { buildZip } from './zip-builder.js'

// Drawings of other programs, and our own brought back.

const UTM = await openProjection('EPSG:32625')
type Pair = readonly [code: number, value: string | number]

const bytesOf = (text: string): ArrayBuffer => new TextEncoder().encode(text).buffer as ArrayBuffer
const drawn = (
  entities: readonly Pair[],
  header: readonly Pair[] = [
    [9, '$INSUNITS'],
    [70, 6],
  ],
  more: readonly Pair[] = [],
): string =>
  [
    [0, 'SECTION'],
    [2, 'HEADER'],
    ...header,
    [0, 'ENDSEC'],
    ...more,
    [0, 'SECTION'],
    [2, 'ENTITIES'],
    ...entities,
    [0, 'ENDSEC'],
    [0, 'EOF'],
  ]
    .map(([code, value]) => `${String(code).padStart(3)}\n${value}\n`)
    .join('')

interface Read {
  readonly type: string
  readonly coordinates: never
  readonly properties: Readonly<Record<string, unknown>>
}
/** On ground of its own metres, so that places come as they are drawn. */
async function taken(text: string, options: Parameters<typeof readVectorFile>[1] = {}): Promise<{ shapes: Read[]; codes: string[] }> {
  const { geojson, warnings, format } = await readVectorFile(bytesOf(text), { local: true, ...options })
  expect(format).toBe('DXF')
  const { features } = JSON.parse(geojson) as { features: { geometry: Read; properties: Read['properties'] }[] }
  return {
    shapes: features.map(({ geometry, properties }) => ({ ...geometry, properties })),
    codes: warnings.map(({ code, details }) => `${code} ${Object.values(details).join(' ')}`.trim()),
  }
}

const LINE: readonly Pair[] = [
  [0, 'LINE'],
  [8, 'Drain'],
  ...([
    [10, 1.5],
    [20, 2],
    [30, 100],
    [11, 4],
    [21, 6],
    [31, 99.5],
  ] as Pair[]),
]

describe('shapes', () => {
  test('points, lines and both kinds of polylines, with layers and heights', async () => {
    const { shapes, codes } = await taken(
      drawn([
        [0, 'POINT'],
        [8, 'survey'],
        ...([
          [10, 7],
          [20, 8],
          [30, 101.25],
        ] as Pair[]),
        ...LINE,
        [0, 'LWPOLYLINE'],
        [8, 'contour'],
        ...([
          [90, 3],
          [70, 0],
          [38, 55.5],
          [10, 0],
          [20, 0],
          [10, 10],
          [20, 0],
          [10, 10],
          [20, 5],
        ] as Pair[]),
        [0, 'POLYLINE'],
        [8, 'top of bank'],
        ...([
          [66, 1],
          [70, 8],
          [10, 0],
          [20, 0],
          [30, 0],
        ] as Pair[]),
        ...[1, 2, 3].flatMap((k): Pair[] => [
          [0, 'VERTEX'],
          [8, 'top of bank'],
          [10, k],
          [20, k * k],
          [30, 90 + k],
          [70, 32],
        ]),
        [0, 'SEQEND'],
        [0, 'POLYLINE'],
        ...([
          [66, 1],
          [70, 1],
        ] as Pair[]),
        ...[
          [0, 0],
          [4, 0],
          [4, 3],
        ].flatMap(([x, y]): Pair[] => [
          [0, 'VERTEX'],
          [10, x!],
          [20, y!],
        ]),
        [0, 'SEQEND'],
      ]),
    )
    expect(codes).toEqual([])
    expect(shapes).toEqual([
      { type: 'Point', coordinates: [7, 8, 101.25], properties: { layer: 'survey', elevation_m: 101.25 } },
      {
        type: 'LineString',
        coordinates: [
          [1.5, 2, 100],
          [4, 6, 99.5],
        ],
        properties: { layer: 'Drain' },
      },
      {
        type: 'LineString',
        coordinates: [
          [0, 0, 55.5],
          [10, 0, 55.5],
          [10, 5, 55.5],
        ],
        properties: { layer: 'contour', elevation_m: 55.5 },
      },
      {
        type: 'LineString',
        coordinates: [
          [1, 1, 91],
          [2, 4, 92],
          [3, 9, 93],
        ],
        properties: { layer: 'top of bank' },
      },
      {
        type: 'Polygon',
        coordinates: [
          [
            [0, 0],
            [4, 0],
            [4, 3],
            [0, 0],
          ],
        ],
        properties: {},
      },
    ])
  })

  test.each([
    [1, 'half a circle to the left', Math.PI * 5],
    [-Math.tan(Math.PI / 8), 'a quarter to the right', (Math.PI / 4) * Math.SQRT2 * 10],
  ])('an arc of a polyline is followed: bulge %f, %s, by hand', async (bulge, _, length) => {
    const { shapes } = await taken(
      drawn([
        [0, 'LWPOLYLINE'],
        [90, 2],
        [70, 0],
        [10, 0],
        [20, 0],
        [42, bulge],
        [10, 10],
        [20, 0],
      ]),
    )
    const path = shapes[0]!.coordinates as [number, number][]
    expect(path[0]).toEqual([0, 0])
    expect(path.at(-1)).toEqual([10, 0])
    // Chord 10: half a circle has its centre in the middle and radius 5; a quarter has radius 10/√2 and its centre 5 beside the chord.
    const [centre, radius] = bulge === 1 ? [[5, 0], 5] : [[5, -5], Math.SQRT2 * 5]
    for (const [x, y] of path) expect(Math.hypot(x - centre[0]!, y - centre[1]!)).toBeCloseTo(radius as number, 9)
    // A positive bulge runs counter-clockwise, so below the chord; a negative one above it.
    for (const [, y] of path.slice(1, -1)) expect(Math.sign(y)).toBe(-Math.sign(bulge))
    const walked = path.slice(1).reduce((sum, [x, y], k) => sum + Math.hypot(x - path[k]![0], y - path[k]![1]), 0)
    expect(walked).toBeLessThan(length)
    expect(walked).toBeGreaterThan(length * 0.9995)
  })

  test('an outline seen from below runs the other way in x; a tilted one is left out and counted', async () => {
    const outline = (x: number, z: number): Pair[] => [
      [0, 'LWPOLYLINE'],
      ...([
        [90, 2],
        [70, 0],
        [10, -3],
        [20, 1],
        [10, -8],
        [20, 2],
        [210, x],
        [220, 0],
        [230, z],
      ] as Pair[]),
    ]
    const { shapes, codes } = await taken(drawn([...outline(0, -1), ...outline(0.6, 0.8)]))
    expect(shapes.map(s => s.coordinates)).toEqual([
      [
        [3, 1],
        [8, 2],
      ],
    ])
    expect(codes).toEqual(['dxf/others-left-out 1 LWPOLYLINE'])
  })

  test('blocks, lettering, sheets of paper, faces and curves are left out, each counted by its kind', async () => {
    const { shapes, codes } = await taken(
      drawn(
        [
          ...LINE,
          ...([
            [0, 'INSERT'],
            [2, 'TREE'],
            [10, 5],
            [20, 5],
            [0, 'INSERT'],
            [2, 'TREE'],
            [66, 1],
            [0, 'ATTRIB'],
            [1, 'oak'],
            [0, 'SEQEND'],
          ] as Pair[]),
          ...([
            [0, 'TEXT'],
            [1, 'north'],
            [0, 'MTEXT'],
            [1, 'x'],
          ] as Pair[]),
          ...([
            [0, 'LINE'],
            [67, 1],
            [10, 0],
            [20, 0],
            [11, 1],
            [21, 1],
          ] as Pair[]),
          ...([
            [0, '3DFACE'],
            [10, 0],
            [0, 'SPLINE'],
            [70, 8],
            [0, 'CIRCLE'],
            [10, 0],
            [20, 0],
            [40, 3],
          ] as Pair[]),
          ...([
            [0, 'POLYLINE'],
            [66, 1],
            [70, 64],
            [0, 'VERTEX'],
            [10, 0],
            [20, 0],
            [0, 'SEQEND'],
          ] as Pair[]),
        ],
        undefined,
        [
          [0, 'SECTION'],
          [2, 'BLOCKS'],
          [0, 'BLOCK'],
          [2, 'TREE'],
          [0, 'LINE'],
          [10, 0],
          [20, 0],
          [11, 1],
          [21, 1],
          [0, 'ENDBLK'],
          [0, 'ENDSEC'],
        ],
      ),
    )
    expect(shapes.length).toBe(1)
    expect(codes).toEqual([
      'dxf/blocks-left-out 2',
      'dxf/lettering-left-out 2',
      'dxf/paper-left-out 1',
      'dxf/others-left-out 4 3DFACE, SPLINE, CIRCLE, POLYLINE',
    ])
  })
})

describe('what a drawing leaves open', () => {
  test.each([
    [6, 1],
    [4, 0.001],
    [2, METRES_PER.ft],
    [21, METRES_PER.ftUS],
    [1, 0.0254],
  ])('unit %i of its header is %f m, for places and heights', async (code, unit_m) => {
    const { shapes } = await taken(
      drawn(LINE, [
        [9, '$INSUNITS'],
        [70, code],
      ]),
    )
    const [[x, y, z]] = shapes[0]!.coordinates as [[number, number, number]]
    expect([x, y, z]).toEqual([1.5 * unit_m, 2 * unit_m, 100 * unit_m])
  })

  test('no unit, or none that is known: it is asked, the answer is taken, and a unit that is said wins', async () => {
    for (const header of [
      [],
      [
        [9, '$INSUNITS'],
        [70, 0],
      ],
    ] as Pair[][]) {
      expect((await refusal(() => taken(drawn(LINE, header)))).code).toBe('vector/unit-unknown')
      const [[x, , z]] = (await taken(drawn(LINE, header), { unit: 'ftUS' })).shapes[0]!.coordinates as [[number, number, number]]
      expect([x, z]).toEqual([1.5 * METRES_PER.ftUS, 100 * METRES_PER.ftUS])
    }
    // Programs write units from their templates: the user's word goes first, and both are told.
    const { shapes, codes } = await taken(
      drawn(LINE, [
        [9, '$INSUNITS'],
        [70, 1],
      ]),
      { unit: 'm' },
    )
    expect((shapes[0]!.coordinates as [[number]])[0][0]).toBe(1.5)
    expect(codes).toEqual(['dxf/unit-overridden 25.4'])
    expect(
      (
        await taken(
          drawn(LINE, [
            [9, '$INSUNITS'],
            [70, 2],
          ]),
        )
      ).codes,
    ).toEqual(['dxf/unit-taken 304.8'])
    expect((await taken(drawn(LINE), { unit: 'm' })).codes).toEqual([])
  })

  test('the coordinate system is asked on ground with a place on Earth; the answer is taken, to a tenth of a millimetre', async () => {
    const at: Point = [512345.678, 3212345.432]
    const text = drawn([
      [0, 'POINT'],
      [10, at[0]],
      [20, at[1]],
      [30, 12],
    ])
    expect((await refusal(() => readVectorFile(bytesOf(text)))).code).toBe('vector/system-unknown')
    const { geojson } = await readVectorFile(bytesOf(text), { crs: 'EPSG:32625' })
    const [longitude, latitude, height] = JSON.parse(geojson).features[0].geometry.coordinates
    const back = UTM.fromLonLat(longitude, latitude)
    expect(Math.hypot(back[0] - at[0], back[1] - at[1])).toBeLessThan(1e-4)
    expect(height).toBe(12)
  })

  test('names in older code pages, in UTF-8 since release 2007, and written out', async () => {
    const layer = async (header: readonly Pair[], encode: (text: string) => Uint8Array): Promise<unknown> => {
      const text = drawn(
        [
          [0, 'POINT'],
          [8, 'línea'],
          [10, 1],
          [20, 2],
        ],
        [...header, [9, '$INSUNITS'], [70, 6]],
      )
      const { geojson } = await readVectorFile(encode(text).buffer as ArrayBuffer, { local: true })
      return JSON.parse(geojson).features[0].properties.layer
    }
    const latin = (text: string): Uint8Array => Uint8Array.from(text, sign => sign.charCodeAt(0))
    const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text)
    expect(
      await layer(
        [
          [9, '$DWGCODEPAGE'],
          [3, 'ANSI_1252'],
        ],
        latin,
      ),
    ).toBe('línea')
    expect(await layer([], latin)).toBe('línea')
    expect(await layer([], utf8)).toBe('línea')
    expect(
      await layer(
        [
          [9, '$ACADVER'],
          [1, 'AC1032'],
        ],
        utf8,
      ),
    ).toBe('línea')
    expect(
      (
        await taken(
          drawn([
            [0, 'POINT'],
            [8, 'l\\U+00EDnea'],
            [10, 1],
            [20, 2],
          ]),
        )
      ).shapes[0]!.properties.layer,
    ).toBe('línea')
  })
})

describe('refused', () => {
  test.each([
    ['binary', `AutoCAD ${'Binary DXF\r\n\u001a\u0000'}\u0000SECTION`, 'dxf/binary'],
    ['cut off', drawn(LINE).slice(0, -20), 'dxf/broken'],
    ['a code that is none', drawn(LINE).replace(' 20\n2\n', 'zwanzig\n2\n'), 'dxf/broken'],
    ['a place that is no number', drawn(LINE).replace(' 20\n2\n', ' 20\nzwei\n'), 'dxf/broken'],
    ['a drawing of the closed kind', 'AC1032\u0000\u0000', 'vector/other-format'],
  ])('%s', async (_, text, code) => {
    expect((await refusal(() => readVectorFile(bytesOf(text), { local: true }))).code).toBe(code)
  })

  test('law: whatever is changed in a drawing, it is read or refused by a code', async () => {
    const good = drawn([...LINE, [0, 'LWPOLYLINE'], [90, 2], [70, 1], [10, 0], [20, 0], [42, 0.5], [10, 10], [20, 0], [10, 9], [20, 9]])
    const random = seededRandom(5)
    for (let round = 0; round < 300; round++) {
      const text = [...good]
      for (let k = 0; k < 3; k++) text[Math.floor(random.uniform() * text.length)] = String.fromCharCode(Math.floor(random.uniform() * 128))
      await readVectorFile(bytesOf(text.join('')), { local: true, unit: 'm' }).catch(error =>
        expect(error.code).toMatch(/^[a-z-]+\/[a-z-]+$/),
      )
    }
  })
})

const SWALE: Point[] = [
  [512300.123, 3212300.456],
  [512340.001, 3212310.999],
  [512390.5, 3212308.25],
]
const ours = (names: { readonly line: string; readonly overflow: string }): FieldDrawing => ({
  name: 'Quinta «día»\r\n999',
  points: [{ name: '1 start', at: SWALE[0]!, height_m: 101.5, group: 'estacas', what: 'stake' }],
  lines: [
    { name: 'over', path: [SWALE[1]!, [512350, 3212200]], group: names.overflow, what: 'overflow' },
    { name: 'Quinta', path: SWALE, heights_m: [101, 100.5, 100.25], group: names.line, what: 'line' },
  ],
})

test('line ends in their thousands are passed over at once, before the first section and in the header', async () => {
  const empty = '\n'.repeat(60_000)
  const raw = (text: string): Uint8Array => new Uint8Array(bytesOf(text))
  const from = performance.now()
  expect(looksLikeDxf(raw(`0${empty}`))).toBe(false)
  expect(looksLikeDxf(raw(`${' \r\n'.repeat(600)}0\r\n\r\nSECTION\r\n`))).toBe(true)
  expect(looksLikeDxf(raw('999\n\n0\nSECTION\n'))).toBe(true)
  await expect(readVectorFile(bytesOf(`0\nSECTION\n2\nHEADER\n9\n$ACADVER${empty}9\n$DWGCODEPAGE${empty}`))).rejects.toThrow(InputError)
  // Seconds to minutes before; found by the long check of changed files (seeds 39269 and 89988 of its drawings).
  expect(performance.now() - from).toBeLessThan(1000)
})

describe('our own drawing comes back', () => {
  test.each([
    ['line', 'overflow'],
    ['línea', 'rebalse'],
  ])('as the line itself, within 1 mm, whatever its layers are called (%s)', async (line, overflow) => {
    const text = writeDxf(ours({ line, overflow }), { crs: 'EPSG:32625' })
    expect(looksLikeDxf(new TextEncoder().encode(text).subarray(0, 512))).toBe(true)
    // Neither its unit nor its system is asked again.
    const { geojson, warnings } = await readVectorFile(bytesOf(text))
    expect(warnings).toEqual([])
    const { path } = readLineFile(geojson, UTM)
    expect(path.length).toBe(SWALE.length)
    for (const [k, at] of path.entries()) expect(Math.hypot(at[0] - SWALE[k]![0], at[1] - SWALE[k]![1])).toBeLessThan(0.001)
    const { features } = JSON.parse(geojson)
    expect(features.map((f: { properties: { what: string } }) => f.properties.what)).toEqual(['stake', 'overflow', 'line'])
    expect(features[0].properties).toMatchObject({ name: '1 start', elevation_m: 101.5 })
    expect(features[2].geometry.coordinates.map((at: number[]) => at[2])).toEqual([101, 100.5, 100.25])
  })

  test('packed into an archive, and on ground without a place', async () => {
    const text = writeDxf(ours({ line: 'line', overflow: 'overflow' }), { crs: 'local' })
    const packed = buildZip([{ name: 'plan.dxf', content: new TextEncoder().encode(text) }])
    const { geojson, format } = await readVectorFile(packed, { local: true })
    expect(format).toBe('DXF in an archive')
    expect(readLineFile(geojson, localProjection()).path).toEqual(SWALE)
    // Plain metres are of no use on ground with a place.
    expect((await refusal(() => readVectorFile(bytesOf(text)))).code).toBe('vector/system-unknown')
  })

  test('without its remarks several lines are a question; a layer or a number answers it', async () => {
    const text = writeDxf(ours({ line: 'line', overflow: 'overflow' })).replace(/^999\r\n.*\r\n/gm, '')
    const { geojson } = await readVectorFile(bytesOf(text), { crs: 'EPSG:32625', unit: 'm' })
    const { code, details } = await refusal(() => readLineFile(geojson, UTM))
    expect([code, details.names]).toEqual(['line/several', ['OVERFLOW', 'LINE']])
    for (const line of ['LINE', '2']) expect(readLineFile(geojson, UTM, { line }).path.length).toBe(3)
    expect(readLineFile(geojson, UTM, { line: '1' }).path.length).toBe(2)
    expect((await refusal(() => readLineFile(geojson, UTM, { line: 'CREST' }))).code).toBe('line/no-such-line')
  })
})

function gdal(): boolean {
  try {
    execFileSync('ogr2ogr', ['--version'], { stdio: 'pipe' })
    return true
  } catch {
    console.info('A drawing that GDAL writes was not read: ogr2ogr is not installed here.')
    return false
  }
}

test.skipIf(!gdal())('a drawing that an independent program (GDAL) writes is read within 1 mm', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'soakline-dxf-'))
  const [from, to] = [join(folder, 'a.geojson'), join(folder, 'a.dxf')]
  const features = [
    { type: 'LineString', coordinates: SWALE.map(([x, y], k) => [x, y, 100 + k]) },
    { type: 'Point', coordinates: [...SWALE[0]!, 7.5] },
    { type: 'Polygon', coordinates: [[...SWALE, SWALE[0]!]] },
  ].map(geometry => ({ type: 'Feature', properties: {}, geometry }))
  writeFileSync(from, JSON.stringify({ type: 'FeatureCollection', features }))
  execFileSync('ogr2ogr', ['-f', 'DXF', to, from], { stdio: 'pipe' })
  const { shapes } = await taken(readFileSync(to, 'utf8'), { unit: 'm' })
  const line = shapes.find(s => s.type === 'LineString')!.coordinates as number[][]
  for (const [k, [x, y, z]] of line.entries()) expect(Math.hypot(x! - SWALE[k]![0], y! - SWALE[k]![1], z! - 100 - k)).toBeLessThan(0.001)
  const point = shapes.find(s => s.type === 'Point')!.coordinates as number[]
  expect(Math.hypot(point[0]! - SWALE[0]![0], point[1]! - SWALE[0]![1], point[2]! - 7.5)).toBeLessThan(0.001)
})
