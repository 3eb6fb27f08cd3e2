import type { DigPhase, FieldPapers, PlantZone } from 'soakline/plan'
import { INSPECTION_LIST, INSPECTION_TIMES } from 'soakline/plan'
import { escapeText as e, plainText } from '../escape-text.js'
import { nameGroundWork, sayGroundWork } from '../ground-work-sentences.js'
import { formatNumber } from '../measures.js'
import { onSiteWords } from '../on-site-words.js'
import { sayPlace } from '../sentences.js'
import { sayEarth } from '../sizing.js'
import { sayZonePlants } from '../zone-plants.js'
import { type Block, joined, lines, nothing, paragraph, type Said, said, table, tick, title } from './blocks.js'
import { RING_mm } from './paper.js'
import { saidBlocks } from './said-blocks.js'
import { type Desk, flowing, type SheetPages } from './sheet.js'
import { fitted } from './text-size.js'
import type { ValueFormat } from './values.js'
import { QUANTITY_NAMES, SET, SOIL_NAMES, TOOL_NAMES } from './words.js'

/** Volumes, days, stretches, steps, tools and crossings. */
export function diggingSheet(desk: Desk): SheetPages {
  const { input, say, room, value, voice } = desk
  const { papers, assessment } = input
  const width = room.column_mm
  if (papers === null) return flowing('digging', desk, [paragraph(say.noPapers, width)])
  const { dig } = papers
  const at = (k: number, key: string): string => `papers.dig.stretches.${k}.${key}`
  const soil = (code: string): string => (Object.hasOwn(SOIL_NAMES, code) ? SOIL_NAMES[code]![voice.language] : plainText(code))
  const blocks: Block[] = [
    title(say.phases),
    table(
      [
        { head: '', share: 6, number: true },
        { head: say.step, share: 52 },
        { head: say.howMuch, share: 44 },
        { head: say.ifRain, share: 42 },
        { head: say.done, share: 12 },
      ],
      dig.phases.map((phase, k): Said[] => [
        value(`papers.dig.phases.${k}.order`, 'count', phase.order),
        said(nameGroundWork('phase', phase.code, voice)),
        quantities(desk, phase, k),
        said(nameGroundWork('rain', phase.rain, voice)),
        tick,
      ]),
      width,
    ),
    title(say.stretches),
    table(
      [
        { head: say.order, share: 11, number: true },
        { head: say.stretchFrom, share: 13, number: true },
        { head: say.stretchTo, share: 13, number: true },
        { head: say.length, share: 13, number: true },
        { head: say.cut, share: 15, number: true },
        { head: say.loose, share: 15, number: true },
        { head: say.settled, share: 15, number: true },
        { head: say.deepest, share: 14, number: true },
        { head: say.fewest, share: 17, number: true },
        { head: say.most, share: 12, number: true },
        { head: say.done, share: 11 },
      ],
      dig.stretches.map((s, k): Said[] => [
        value(at(k, 'order'), 'count', s.order),
        value(at(k, 'from_m'), 'length', s.from_m),
        value(at(k, 'to_m'), 'length', s.to_m),
        value(at(k, 'length_m'), 'length', s.length_m),
        value(at(k, 'cut_m3'), 'earth', s.cut_m3),
        value(at(k, 'loose_m3'), 'earth', s.loose_m3),
        value(at(k, 'bermSettled_m3'), 'earth', s.bermSettled_m3),
        value(at(k, 'greatestCut_m'), 'height', s.greatestCut_m),
        ...days(desk, at(k, 'personDays'), s.personDays),
        tick,
      ]),
      width,
    ),
    ...saidBlocks(sayEarth(assessment, voice), desk),
    title(say.otherSoil),
    table(
      [
        { head: say.soil, share: 40 },
        { head: say.fewest, share: 30, number: true },
        { head: say.most, share: 30, number: true },
      ],
      dig.bySoil.map(({ soil: code, days: range, chosen }, k): Said[] => [
        said(chosen ? `${soil(code)} (${say.taken})` : soil(code)),
        ...days(desk, `papers.dig.bySoil.${k}.days`, range),
      ]),
      width,
      { rowClass: k => (dig.bySoil[k]!.chosen ? 'marked' : '') },
    ),
    title(say.tools),
    paragraph(`${dig.tools.map(tool => TOOL_NAMES[tool][voice.language]).join(', ')}.`, width),
    title(say.crossings),
    ...(dig.crossings.length === 0 ? [paragraph(say.noCrossings, width)] : [crossings(desk)]),
    ...(dig.cost === null ? [] : costs(desk, dig.cost)),
  ]
  return flowing('digging', desk, blocks)
}

function days({ value, say }: Desk, at: string, range: { readonly low_days: number; readonly high_days: number } | null): [Said, Said] {
  return range === null
    ? [said(say.tooDeep), nothing]
    : [value(`${at}.low_days`, 'number', range.low_days), value(`${at}.high_days`, 'number', range.high_days)]
}

/** How a quantity is said, by the ending of its key. */
const QUANTITY_FORMATS: readonly (readonly [string, ValueFormat])[] = [
  ['_m3', 'earth'],
  ['_m2', 'area'],
]
const LEVELS = ['sill_m', 'notch_m']
const LENGTHS = ['length_m', 'at_m', 'sillLength_m']

function quantities({ value, voice }: Desk, phase: DigPhase, k: number): Said {
  const entries = Object.entries(phase.quantities).filter(
    ([key]) => Object.hasOwn(QUANTITY_NAMES, key) && !(key.startsWith('extra') && phase.quantities.crossings === 0),
  )
  return joined(
    entries.flatMap(([key, amount], n) => {
      const as: ValueFormat = LEVELS.includes(key)
        ? 'level'
        : LENGTHS.includes(key)
          ? 'length'
          : (QUANTITY_FORMATS.find(([ending]) => key.endsWith(ending))?.[1] ?? (key.endsWith('_m') ? 'height' : 'number'))
      return [
        `${n === 0 ? '' : '; '}${QUANTITY_NAMES[key]![voice.language]}: `,
        value(`papers.dig.phases.${k}.quantities.${key}`, as, amount),
      ]
    }),
  )
}

function crossings({ input, say, room, value, voice }: Desk): Block {
  return table(
    [
      { head: say.along, share: 18, number: true },
      { head: say.forWhom, share: 26 },
      { head: say.width, share: 18, number: true },
      { head: say.length, share: 18, number: true },
      { head: '', share: 60 },
    ],
    input.papers!.dig.crossings.map((c, k): Said[] => [
      value(`papers.dig.crossings.${k}.chainage_m`, 'length', c.chainage_m),
      said(nameGroundWork('crosser', c.crosser, voice)),
      value(`papers.dig.crossings.${k}.width_m`, 'length', c.width_m),
      value(`papers.dig.crossings.${k}.length_m`, 'length', c.length_m),
      c.refused === null ? nothing : said(sayGroundWork(c.refused, {}, voice)),
    ]),
    room.column_mm,
  )
}

function costs(
  { say, room, voice }: Desk,
  { byHand, byMachine, mulch }: NonNullable<NonNullable<Desk['input']['papers']>['dig']['cost']>,
): Block[] {
  const span = (of: { readonly low: number; readonly high: number }): string =>
    `${formatNumber(of.low, voice)}–${formatNumber(of.high, voice)}`
  return [
    title(say.cost),
    lines(
      [
        ...(byHand === null ? [] : [[say.costHand, span(byHand)] as const]),
        ...(byMachine === null ? [] : [[say.costMachine, span(byMachine)] as const]),
        ...(mulch === null ? [] : [[say.costMulch, formatNumber(mulch, voice)] as const]),
      ],
      room.column_mm,
    ),
  ]
}

/** The zones along the line: how much ground, how many plants, and how they have it there. */
export function plantingSheet(desk: Desk): SheetPages {
  const { input, say, room, value, voice } = desk
  const { papers } = input
  const width = room.column_mm
  if (papers === null) return flowing('planting', desk, [paragraph(say.noPapers, width)])
  const zones = papers.zones.map((zone, k) => ({ zone, at: `papers.zones.${k}` })).filter(({ zone }) => zone.length_m > 0)
  const name = ({ zone }: PlantZone): Said => said(nameGroundWork('zone', zone, voice))
  const orSown = (zone: PlantZone, shown: () => Said): Said => (zone.sown ? said(say.sown) : shown())
  const woody = { 'kept-out': say.keptOut, small: say.small, allowed: say.allowed } as const
  return flowing('planting', desk, [
    table(
      [
        { head: say.zone, share: 40 },
        { head: say.length, share: 16, number: true },
        { head: say.width, share: 16, number: true },
        { head: say.area, share: 20, number: true },
        { head: say.spacing, share: 18, number: true },
        { head: say.rowsOf, share: 13, number: true },
        { head: say.count, share: 16, number: true },
        { head: say.done, share: 11 },
      ],
      zones.map(({ zone, at }): Said[] => [
        name(zone),
        value(`${at}.length_m`, 'length', zone.length_m),
        value(`${at}.width_m`, 'length', zone.width_m),
        value(`${at}.area_m2`, 'area', zone.area_m2),
        orSown(zone, () => value(`${at}.spacing_m`, 'height', zone.spacing_m)),
        orSown(zone, () => value(`${at}.rows`, 'count', zone.rows)),
        orSown(zone, () => value(`${at}.count`, 'count', zone.count)),
        tick,
      ]),
      width,
    ),
    title(say.conditions),
    table(
      [
        { head: say.zone, share: 34 },
        { head: say.underWater, share: 20, number: true },
        { head: say.drained, share: 26, number: true },
        { head: say.woody, share: 20 },
        { head: say.facing, share: 14, number: true },
        { head: say.sun, share: 24, number: true },
        { head: say.afternoon, share: 24, number: true },
      ],
      zones.map(({ zone, at }): Said[] => {
        const { underWater_h, drainedDepth_m, facing_deg, sun } = zone.conditions
        return [
          name(zone),
          underWater_h === 0 ? said(say.never0) : value(`${at}.conditions.underWater_h`, 'duration', underWater_h),
          value(`${at}.conditions.drainedDepth_m`, 'height', drainedDepth_m),
          said(woody[zone.conditions.woody]),
          facing_deg === null ? nothing : value(`${at}.conditions.facing_deg`, 'bearing', facing_deg),
          sun === null ? nothing : value(`${at}.conditions.sun.year_ratio`, 'slope', sun.year_ratio),
          sun === null ? nothing : value(`${at}.conditions.sun.afternoon_ratio`, 'slope', sun.afternoon_ratio),
        ]
      }),
      width,
    ),
    paragraph(say.plantingNote, width),
    ...plantList(desk, papers),
  ])
}

/** Which plants go to which place: the user's own, or general types by need. */
function plantList({ say, room, voice }: Desk, { zones, plants }: FieldPapers): Block[] {
  const { plant: words } = onSiteWords(voice)
  return [
    title(words.list),
    ...(plants.starter ? [paragraph(words.starter, room.column_mm)] : []),
    table(
      [
        { head: say.zone, share: 26 },
        { head: words.suits, share: 30 },
        { head: words.suitsWith, share: 52 },
        { head: words.suitsNot, share: 52 },
      ],
      sayZonePlants(zones, plants, voice).map(({ zone, well, withCare, not }): Said[] => [
        said(zone),
        said(well === '' ? '–' : well),
        said(withCare === '' ? '–' : withCare),
        said(not === '' ? '–' : not),
      ]),
      room.column_mm,
    ),
  ]
}

/** The card that hangs in the kitchen: where to open, what never to do, whom to ring. A page of its own, in large letters. */
export function stormCardSheet(desk: Desk): SheetPages[] {
  const { input, say, tell, value, voice, room } = desk
  const { papers } = input
  if (papers === null) return []
  const { card } = papers
  const row = (label: string, shown: Said): string => `<div><dt>${e(label)}</dt><dd>${shown.html}</dd></div>`
  const facts = [
    row(
      say.sillLong,
      joined([value('papers.card.sill_m', 'level', card.sill_m), ' · ', value('papers.card.sillLength_m', 'length', card.sillLength_m)]),
    ),
    ...(card.notch_m === null ? [] : [row(say.notch, value('papers.card.notch_m', 'level', card.notch_m))]),
    row(say.lowestCrest, value('papers.card.lowestCrest_m', 'level', card.lowestCrest_m)),
    row(say.itStands, said(sayPlace(input.assessment, card.lowestCrestAt_m, voice))),
    row(say.sillToCrest, value('papers.card.sillToCrest_m', 'height', card.sillToCrest_m)),
    row(say.holds, value('papers.card.holds_m3', 'volume', card.holds_m3)),
    row(say.judgedBy, value('papers.card.acceptanceChance', 'chance', card.acceptanceChance)),
  ]
  const list = (items: readonly string[], mark: string): string =>
    `<ol class="${mark}">${items.map(text => `<li>${e(text)}</li>`).join('')}</ol>`
  const ring = plainText(card.ring).trim()
  const body = [
    `<h3>${e(say.openHere)}</h3><p class="place">${e(tell(SET.atPlace, { chainage_m: card.openAt.chainage_m }))}</p>`,
    card.houseBelow ? `<p class="place">${e(say.houseBelow)}</p>` : '',
    `<h3>${e(say.whenRises)}</h3>${list(
      card.inStorm.map(code => nameGroundWork('inStorm', code, voice)),
      'do',
    )}`,
    `<h3>${e(say.never)}</h3>${list(
      card.doNot.map(code => nameGroundWork('doNot', code, voice)),
      'never',
    )}`,
    `<dl class="facts">${facts.join('')}</dl>`,
    `<div class="ring"><h3>${e(say.ring)}</h3>${ring === '' ? '<p class="hand"></p><p class="hand"></p>' : `<p class="given">${e(fitted(ring, RING_mm, room.width_mm, 3))}</p>`}<h3>${e(say.ringBelow)}</h3><p class="hand"></p><p class="hand"></p></div>`,
  ].join('')
  return [{ code: 'stormCard', scale: null, bodies: [`<div class="full card">${body}</div>`] }]
}

const LOG_LINES = 7
const LOG_mm = 7.5

/** What is looked at and when, and a log to fill in. */
export function careSheet(desk: Desk): SheetPages {
  const { input, say, tell, room, voice } = desk
  const width = room.column_mm
  const { papers } = input
  return flowing('care', desk, [
    title(say.inspection),
    table(
      [{ head: '', share: 64 }, ...INSPECTION_TIMES.map(time => ({ head: nameGroundWork('time', time, voice), share: 20 }))],
      INSPECTION_LIST.map(({ code, when }): Said[] => [
        said(nameGroundWork('inspection', code, voice)),
        ...INSPECTION_TIMES.map(time => ((when as readonly string[]).includes(time) ? tick : nothing)),
      ]),
      width,
    ),
    ...(papers === null ? [] : [paragraph(tell(SET.cleanAt, { clean_m: papers.cleanAt_m }), width, { strong: true })]),
    title(say.log),
    table(
      [
        { head: say.date, share: 20 },
        { head: say.rain, share: 18 },
        { head: say.highestWater, share: 26 },
        { head: say.spilled, share: 16 },
        { head: say.seen, share: 76 },
      ],
      Array.from({ length: LOG_LINES }, () => [nothing, nothing, nothing, nothing, nothing]),
      width,
      { row_mm: LOG_mm },
    ),
  ])
}
