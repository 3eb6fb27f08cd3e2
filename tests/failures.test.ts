import { readdirSync, readFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { expect, test } from 'vitest'
import { repositoryRoot } from './helpers/repository.js'

// What has gone wrong for people who brought their own data to other programs: a hundred cases, gathered from public issue threads. Each has a test whose
// title begins with its number, or a reason why it cannot occur here. The list is the list: a new test with a number, or one that is gone, shows here.

/** The file and the title of the test that stands for a case. */
type Standing = readonly [file: string, title: string]

const IO = 'packages/io/test'
const WATER = 'packages/soakline/test/hydrology'
const CONTOURS = 'packages/soakline/test/terrain/contour-lines.test.ts'
const FINDINGS = 'packages/soakline/test/plan/findings.test.ts'
const SHEET = 'tests/browser'

/** The cases that a test stands for. */
const TESTED: Readonly<Record<number, readonly Standing[]>> = {
  1: [[`${IO}/geotiff.test.ts`, 'failures 1, 13: degrees and Web Mercator are drawn on UTM with true lengths']],
  2: [
    [`${IO}/failures-at-the-door.test.ts`, 'failure 2: whatever the format, degrees pass one gate: metres come out of it, and it is said'],
  ],
  3: [[`${IO}/geotiff.test.ts`, 'failure 3: law: a hill keeps its place and height when degrees become metres']],
  4: [
    [
      `${IO}/failures-at-the-door.test.ts`,
      'failure 4: heights are drawn anew between the four cells round about, never from the nearest: a plane stays a plane',
    ],
  ],
  5: [
    [`${IO}/geotiff.test.ts`, 'failure 5: stated by the vertical unit, the vertical system, or the band'],
    [
      `${IO}/failures-at-the-door.test.ts`,
      'failure 5, of systems that are written out: heights in the feet that the vertical part names, in any of its forms',
    ],
  ],
  6: [[`${IO}/geotiff.test.ts`, 'failures 6, 7: US survey feet become metres by 1200/3937: cell, corner and the place on Earth']],
  7: [[`${IO}/geotiff.test.ts`, 'failures 6, 7: US survey feet become metres by 1200/3937: cell, corner and the place on Earth']],
  8: [[`${IO}/join-rasters.test.ts`, 'failure 8: other systems, units, cells and places between cells are refused']],
  9: [[`${IO}/failures-at-the-door.test.ts`, 'failure 9: what heights are counted from is told, and so is that nobody said it']],
  10: [[`${IO}/crs.test.ts`, 'failure 10: systems that are not known, or cannot be trusted']],
  11: [
    [`${IO}/geotiff.test.ts`, 'failure 11: a system by its parameters is the one with the code: transverse Mercator, Lambert, equal-area'],
  ],
  12: [[`${IO}/geotiff.test.ts`, 'failure 12: no system, or one that cannot be worked out, is asked; local is plain metres']],
  13: [[`${IO}/geotiff.test.ts`, 'failures 1, 13: degrees and Web Mercator are drawn on UTM with true lengths']],
  14: [[`${IO}/geojson.test.ts`, 'failures 14, 52: projected metres, swapped axes and far places are refused, with what to do']],
  15: [
    [
      `${IO}/crs.test.ts`,
      'failure 15: places far outside the system: 100° east in UTM 32, swapped coordinates, the other hemisphere of a conic',
    ],
  ],
  16: [[`${IO}/geotiff.test.ts`, 'failure 16: cells that stand for points lie half a cell to the north-west of their centre']],
  17: [[`${IO}/geotiff.test.ts`, 'failures 17, 18, 20: rows from the south, columns from the east, or both, are turned']],
  18: [[`${IO}/geotiff.test.ts`, 'failures 17, 18, 20: rows from the south, columns from the east, or both, are turned']],
  19: [[`${IO}/geotiff.test.ts`, 'failure 19: turned or sheared rasters, ground control points and no georeference at all are refused']],
  20: [[`${IO}/geotiff.test.ts`, 'failures 17, 18, 20: rows from the south, columns from the east, or both, are turned']],
  21: [[`${IO}/geotiff.test.ts`, 'failure 21: a tie point anywhere in the raster gives the same corner']],
  22: [[CONTOURS, 'failure 22: oracle: d3-contour’s vertices off the frame are ours, 1e-9 cells']],
  23: [[`${IO}/geotiff.test.ts`, 'failure 23: cells that are not square are drawn on square ones, and it is said']],
  24: [[`${IO}/geotiff.test.ts`, 'failure 24: -3.39999999999999996e+38 in the tag is the float32 cell -3.39999995e38']],
  25: [[`${IO}/geotiff.test.ts`, 'failure 25: nan, with or without a tag, and infinities are no data']],
  26: [[`${IO}/geotiff.test.ts`, 'failure 26: a tag that is no number is said; with a suspicious value in the cells it is asked']],
  27: [[`${IO}/geotiff.test.ts`, 'failure 27: isolated usual values without a tag, or beside another one, are asked, never taken']],
  28: [
    [
      `${IO}/voids.test.ts`,
      'failure 28: what will count as a gap is told before anything is worked out, and it is the user who says that it is filled',
    ],
  ],
  29: [
    [
      `${IO}/voids.test.ts`,
      'failure 29: each gap is listed with its area and a place in it, the largest first; what reaches the edge is told apart',
    ],
  ],
  30: [[`${IO}/geotiff.test.ts`, 'failure 30: no data never bleeds into neighbours when cells are drawn anew']],
  31: [[CONTOURS, 'failure 31: ten thousand levels are drawn, one more is refused; how high the ground lies does not matter']],
  32: [[CONTOURS, 'failure 32: a void cuts a line; it never runs along the void']],
  33: [[`${IO}/geotiff.test.ts`, 'failures 33, 42, 43: a compression that is not read is named']],
  34: [[`${IO}/height-tiles.test.ts`, 'failure 34: the name is the south-west sample, the high byte comes first, -32768 is a gap']],
  35: [
    [
      `${IO}/address-source.test.ts`,
      'failure 35: size and place are told before any height is read, and too large a raster is refused with them',
    ],
    [`${IO}/hostile-tiff.test.ts`, 'failures 35, 39: huge sizes are refused before anything is allocated'],
  ],
  36: [
    [`${IO}/address-source.test.ts`, 'failure 36: a BigTIFF beyond 4 GB is read by slices of a file'],
    [
      `${IO}/failures-at-the-door.test.ts`,
      'failure 36: a big file with 64-bit places reads as the classic one; places beyond the file are refused',
    ],
  ],
  37: [
    [
      `${IO}/address-source.test.ts`,
      'failure 37: a file that was cut off is refused where its lost part is needed, and read where it is not',
    ],
    [`${IO}/hostile-tiff.test.ts`, 'failure 37: the share that is there is told'],
  ],
  38: [
    [`${IO}/address-source.test.ts`, 'failures 38, 39: a hostile raster at an address costs no more than one in memory'],
    [`${IO}/hostile-tiff.test.ts`, 'failure 38: a directory that points at itself ends at once'],
  ],
  39: [
    [`${IO}/address-source.test.ts`, 'failures 38, 39: a hostile raster at an address costs no more than one in memory'],
    [`${IO}/hostile-tiff.test.ts`, 'failures 35, 39: huge sizes are refused before anything is allocated'],
  ],
  40: [[`${IO}/hostile-tiff.test.ts`, 'failure 40: a bomb unpacks to what its cells need and no further']],
  41: [
    [`${IO}/archived-ground.test.ts`, 'failure 41: files that share their bytes, more files than a layer has, and archives beyond 4 GB'],
  ],
  42: [[`${IO}/geotiff.test.ts`, 'failures 33, 42, 43: a compression that is not read is named']],
  43: [[`${IO}/geotiff.test.ts`, 'failures 33, 42, 43: a compression that is not read is named']],
  44: [[`${IO}/geotiff.test.ts`, 'failure 44: tiles, cut off at the rim, with one left out of a sparse file: its cells are no data']],
  45: [
    [`${IO}/address-source.test.ts`, 'failure 45: a window is cut out of the full-size image, never out of a smaller copy'],
    [`${IO}/failures-at-the-door.test.ts`, 'failure 45: of several images the first full-size one is read, wherever a smaller copy stands'],
  ],
  46: [
    [
      `${IO}/failures-at-the-door.test.ts`,
      'failure 46: colours become heights before anything is drawn anew: across a step of the middle byte no height leaps',
    ],
  ],
  47: [
    [
      'tests/failures.test.ts',
      'failure 47: no number of the sheet comes from the map engine’s own heights, and no text becomes markup through it',
    ],
  ],
  48: [[`${IO}/address-source.test.ts`, 'failure 48: a server that behaves %s: %s']],
  49: [[`${IO}/address-source.test.ts`, 'failure 49: a server without ranges is asked for the whole of a small file only']],
  50: [[`${SHEET}/bad-decoder.test.ts`, 'failure 50: a part of the page that cannot be fetched is told, not waited for']],
  51: [[`${IO}/geojson.test.ts`, 'failure 51: an old crs member is taken only where it is longitude and latitude']],
  52: [[`${IO}/geojson.test.ts`, 'failures 14, 52: projected metres, swapped axes and far places are refused, with what to do']],
  53: [
    [
      `${IO}/antimeridian.test.ts`,
      'failure 53: a line across the antimeridian is cut there on its way out, and comes back as the same places and the same length',
    ],
  ],
  54: [[`${IO}/geojson.test.ts`, 'failure 54: missing geometries and exact copies are left out and counted']],
  55: [[`${IO}/geojson.test.ts`, 'failure 55: polygons whose sides cross are refused with the place; neighbours that touch are not']],
  56: [[`${IO}/geojson.test.ts`, 'failures 56, 58: comes in metres of the working system, its third coordinate ignored, repeats left out']],
  57: [[`${IO}/geojson.test.ts`, 'failure 57: what is no GeoJSON is refused by what is wrong']],
  58: [[`${IO}/geojson.test.ts`, 'failures 56, 58: comes in metres of the working system, its third coordinate ignored, repeats left out']],
  59: [
    [
      `${IO}/failures-at-the-door.test.ts`,
      'failure 59: the size of a layer is looked at before it is read, its depth before anything is built',
    ],
  ],
  60: [
    [`${IO}/vector-file.test.ts`, 'failure 60: without a .prj the system is asked; the answer is taken'],
    [
      `${IO}/failures-at-the-door.test.ts`,
      'failure 60, of a .prj that cannot be read: the layer is refused, never taken for longitude and latitude',
    ],
  ],
  61: [
    [
      `${IO}/failures-at-the-door.test.ts`,
      'failure 61: blanks after the commas of KML change nothing, and what is no place is refused, not dropped',
    ],
  ],
  62: [[`${IO}/field-files.test.ts`, 'failure 62: GPX keeps the order of its schema: metadata, waypoints, routes; ele, name, desc, type']],
  63: [[`${SHEET}/files.test.ts`, 'failure 63: broken files give their sentence, and the sheet stays as it was']],
  64: [[FINDINGS, 'failure 64: a plane has no ridge on the raster']],
  65: [[`${WATER}/tie-dependence.test.ts`, 'failure 65: heights rounded to %d m']],
  66: [[`${WATER}/drainage.test.ts`, 'failures 66, 77: P7, P8: every cell leads off the raster or into a kept pit, without a circle']],
  67: [
    [
      'tests/exact/invariants-water.test.ts',
      'failure 67: brute force: a cell is filled to the lowest level at which a way over ground no higher leads from an outlet to it',
    ],
  ],
  68: [[`${WATER}/hollows.test.ts`, 'failure 68: a crater is real; pits of noise on it are artefacts']],
  69: [
    [
      `${WATER}/conditioned.test.ts`,
      'failure 69: the proposed culvert, drawn, empties the hollow behind the road and sends its catchment under it',
    ],
  ],
  70: [[FINDINGS, 'failure 70: a surface model, and heights in steps of a quarter of the berm']],
  71: [['tests/exact/catchment.test.ts', 'failure 71: a roof that falls towards %s°']],
  72: [
    [
      `${WATER}/contributing-area.test.ts`,
      'failure 72: cells of 0.3 m are counted, not added up: the area at an outlet is the exact count times the area of a cell',
    ],
  ],
  73: [
    [
      `${WATER}/flow-network.test.ts`,
      'failure 73: P13, P14: whole cells, never falls downstream, and the outlets together hold all data cells',
    ],
  ],
  74: [[FINDINGS, 'failure 74: cells over a third of the works, from the cut’s uphill edge to the berm’s outer toe']],
  75: [[`${WATER}/drainage.test.ts`, 'failure 75: outlets: only rim cells with nothing lower in the raster lead off it by slope']],
  76: [
    [
      `${WATER}/long-stream.test.ts`,
      'failure 76: a stream of 150,000 cells one after another is followed without a stack: whatever drains to its mouth is counted',
    ],
  ],
  77: [[`${WATER}/drainage.test.ts`, 'failures 66, 77: P7, P8: every cell leads off the raster or into a kept pit, without a circle']],
  78: [
    [CONTOURS, 'failure 78: P27: two overlapping windows of ground far from the origin have the same vertices in the overlap, bit for bit'],
  ],
  79: [[CONTOURS, 'failure 79: P25: a line is closed, or ends at the outermost cell centres or at a void']],
  80: [[CONTOURS, 'failure 80: an interval that gives no lines, or more levels than anyone can use, is refused with what to do next']],
  81: [[`${SHEET}/same-bits.test.ts`, 'failure 81: %s ground, seed %d']],
  82: [['apps/map/test/storage.test.ts', 'failure 82: many steps without a file are reminded of, and a file ends it']],
  83: [
    [`${SHEET}/keeping.test.ts`, 'failure 83: a full store is told at once, and the file that is offered holds the work'],
    [`${SHEET}/trouble.test.ts`, 'failure 83: without storage the sheet says so and works'],
  ],
  84: [
    [
      `${SHEET}/keeping.test.ts`,
      'failure 84: the second tab takes the work over as the first left it; the first is told and can take it back',
    ],
    [`${SHEET}/files.test.ts`, 'failure 84: a second tab looks but does not change anything'],
  ],
  85: [
    [`${SHEET}/kills.test.ts`, 'failure 85: the page killed at random moments in the middle of the work: at most the last edit is lost'],
    [`${SHEET}/files.test.ts`, 'failure 85: a second visit opens the work of the first; another ground sets it aside, and one can go back'],
  ],
  86: [['apps/map/test/storage.test.ts', 'failure 86: a draft that no answer accepts is kept and comes back']],
  87: [
    [
      `${SHEET}/trouble.test.ts`,
      'failure 87: a drawing context lost ${losses} times is told and comes back, handles and all; the answers can be had meanwhile, and nothing is lost',
    ],
  ],
  89: [[`${SHEET}/drawing-set.test.ts`, 'failure 89: as many PDF pages as sections, each of the paper’s size, numbered']],
  90: [
    [
      `${SHEET}/releases.test.ts`,
      'failure 90: a new release while tabs are open: nothing breaks in them, the reader is told, the work comes along; one bad release can be called back',
    ],
  ],
  91: [[`${SHEET}/opens.test.ts`, 'failure 91: with no network the sheet opens again, demo and all']],
  92: [
    [
      'packages/soakline/test/plan/own-position.test.ts',
      'failure 92: a device that is not sure, or less sure than the limit, leads nowhere',
    ],
    [
      `${SHEET}/field.test.ts`,
      'failure 92: own position: asked for on a tap only, shown with its doubt, refused beyond the limit, never sent anywhere',
    ],
  ],
  93: [
    [
      `${SHEET}/hostile-text.test.ts`,
      'failures 93, 94: script in names, keys, descriptions, links and notes of files never runs, and nothing leaves the machine',
    ],
    [
      `${SHEET}/files.test.ts`,
      'failure 93: features, rain, settings and a plan dropped end in one visible line each; text from a file stays text',
    ],
  ],
  94: [
    [
      `${SHEET}/hostile-text.test.ts`,
      'failures 93, 94: script in names, keys, descriptions, links and notes of files never runs, and nothing leaves the machine',
    ],
    [
      'tests/failures.test.ts',
      'failure 94: the map engine is one in which attributions are text (CVE-2026-85061 is mended in 6.4.1), and shows none of a file',
    ],
  ],
  95: [[`${IO}/tables.test.ts`, 'failure 95: text never becomes a formula; negative numbers stay numbers']],
  96: [
    [`${SHEET}/hostile-text.test.ts`, 'failure 96: keys that reach into the page’s own objects are refused or lead nowhere'],
    [`${IO}/geojson.test.ts`, 'failure 96: keys that reach an object’s prototype are dropped and change nothing'],
  ],
  97: [[`${SHEET}/hostile-text.test.ts`, 'failure 97: under the page’s policy text does not become markup, code or a worker']],
  98: [[`${SHEET}/opens.test.ts`, 'failure 98: the sheet opens on the demo holding: ${name}']],
  99: [[`${SHEET}/pointing.test.ts`, 'failure 99: by finger: a level line, an area, and an end dragged']],
  100: [
    [
      `${SHEET}/pointing.test.ts`,
      'failure 100: by keyboard alone: a level line and a building under the crosshair, a handle moved by arrow keys',
    ],
  ],
}

/** The cases that cannot be tested here, and why. */
const REASONS: Readonly<Record<number, string>> = {
  88: 'A phone’s memory cannot be measured by the browser that tests here. What keeps it low is: one drawing context, no 3-D, cells capped by what a page may hold, grids in the worker alone.',
}

/** Every title of a test that begins with a number of a case, by its file. */
function titled(): Map<string, string[]> {
  const found = new Map<string, string[]>()
  const walk = (folder: string): void => {
    for (const entry of readdirSync(folder, { withFileTypes: true })) {
      const path = join(folder, entry.name)
      if (entry.isDirectory() && !['node_modules', 'dist', 'artefacts'].includes(entry.name)) walk(path)
      else if (entry.name.endsWith('.test.ts')) {
        const titles = [
          ...readFileSync(path, 'utf8').matchAll(/(?:test(?:\.[a-zA-Z]+)?(?:\([^'`]*?\))*\(\s*)(['`])(failures? [0-9][^\n]*?)\1,/g),
        ].map(m => m[2]!)
        if (titles.length > 0) found.set(relative(repositoryRoot, path), titles)
      }
    }
  }
  for (const folder of ['packages', 'apps', 'tests']) walk(join(repositoryRoot, folder))
  return found
}

const numbersOf = (title: string): number[] => /^failures? ([0-9, ]+?)(?=[:,] ?[^0-9 ])/.exec(title)?.[1]?.split(', ').map(Number) ?? []

test('each of the hundred cases has its test or its reason, and none has both', () => {
  const all = Array.from({ length: 100 }, (_, k) => k + 1)
  expect(all.filter(number => !(number in TESTED) && !(number in REASONS))).toEqual([])
  expect(all.filter(number => number in TESTED && number in REASONS)).toEqual([])
  for (const reason of Object.values(REASONS)) expect(reason.length).toBeGreaterThan(60)
})

test('the tests that stand for cases exist by these titles, begin with these numbers, and there are no others', () => {
  const found = titled()
  const listed = Object.entries(TESTED).flatMap(([number, standing]) =>
    standing.map(([file, title]) => ({ number: Number(number), file, title })),
  )
  for (const { number, file, title } of listed) {
    expect(found.get(file) ?? [], `${number}, ${file}`).toContain(title)
    expect(numbersOf(title), title).toContain(number)
  }
  const unlisted = [...found].flatMap(([file, titles]) =>
    titles.flatMap(title =>
      numbersOf(title)
        .filter(number => !listed.some(one => one.number === number && one.file === file && one.title === title))
        .map(number => `${number}: ${file}: ${title}`),
    ),
  )
  expect(unlisted).toEqual([])
})

test('failure 47: no number of the sheet comes from the map engine’s own heights, and no text becomes markup through it', () => {
  const sources: string[] = []
  const walk = (folder: string): void => {
    for (const entry of readdirSync(folder, { withFileTypes: true }))
      if (entry.isDirectory()) walk(join(folder, entry.name))
      else if (/\.tsx?$/.test(entry.name)) sources.push(join(folder, entry.name))
  }
  walk(join(repositoryRoot, 'apps/map/src'))
  expect(sources.length).toBeGreaterThan(50)
  const wrong = sources.filter(file =>
    /queryTerrainElevation|setHTML|innerHTML|dangerouslySetInnerHTML|document\.write/.test(readFileSync(file, 'utf8')),
  )
  expect(wrong.map(file => relative(repositoryRoot, file))).toEqual([])
})

test('failure 94: the map engine is one in which attributions are text (CVE-2026-85061 is mended in 6.4.1), and shows none of a file', () => {
  const { dependencies } = JSON.parse(readFileSync(join(repositoryRoot, 'apps/map/package.json'), 'utf8')) as {
    dependencies: Record<string, string>
  }
  const [major, minor, patch] = dependencies['maplibre-gl']!.split('.').map(Number) as [number, number, number]
  expect(major * 1e6 + minor * 1e3 + patch).toBeGreaterThanOrEqual(6_004_001)
  expect(readFileSync(join(repositoryRoot, 'apps/map/src/plan-view/plan-view.ts'), 'utf8')).toContain('attributionControl: false')
})
