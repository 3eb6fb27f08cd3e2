import type { Verdict } from 'soakline/foundation'
import { notLookedAt, SETTINGS, type Settings } from 'soakline/plan'
import { creditsOf } from '../credits.js'
import { escapeText as e } from '../escape-text.js'
import { verdictMark } from '../marks.js'
import { formatLength } from '../measures.js'
import { baseName, saySetting } from '../report.js'
import {
  ranked,
  sayCheck,
  sayFinding,
  sayNext,
  sayPassing,
  sayPathEnd,
  sayPlace,
  saySource,
  saySpillReason,
  sayVerdict,
  sayWarning,
  wordsOf,
} from '../sentences.js'
import { type Block, item, paragraph, type Said, said, table, title } from './blocks.js'
import { reviewPoints } from './review.js'
import { type Desk, flowing, type SheetPages } from './sheet.js'

/** A verdict as its mark and its word: no print loses it. */
function markOf(verdict: Verdict, word: string): Said {
  return { text: `00${word}`, html: `${verdictMark(verdict, word, 12)} <b>${e(word)}</b>` }
}

/** Every finding with its verdict, its sentence, its source and what to do next; the places to spill. */
export function findingSheet(desk: Desk): SheetPages {
  const { input, voice, room } = desk
  const { report, answer } = wordsOf(voice)
  const head = report.findingColumns
  const { findings, spills } = input.assessment
  const width = room.column_mm
  const rows = findings.map((finding, k): Said[] => {
    const text = sayFinding(finding, voice)
    return [
      markOf(finding.verdict, sayVerdict(finding.verdict, voice)),
      said(sayCheck(finding.check, voice)),
      { text, html: `<span class="value" data-of="findings.${k}.text" data-as="text">${said(text).html}</span>` },
      said(sayNext(finding, voice)),
      said(saySource(finding.source, voice)),
    ]
  })
  const places = report.spillColumns
  return flowing('findings', desk, [
    paragraph(report.marks, width, { small: true }),
    table(
      [
        { head: head.verdict, share: 22 },
        { head: head.check, share: 28 },
        { head: head.text, share: 62 },
        { head: head.next, share: 42 },
        { head: report.source, share: 32 },
      ],
      rows,
      width,
    ),
    title(report.spills),
    ...(spills.length === 0
      ? [paragraph(answer.noSpill, width)]
      : [
          table(
            [
              { head: places.rank, share: 11, number: true },
              { head: places.place, share: 26 },
              { head: places.path, share: 34 },
              { head: places.building, share: 46 },
              { head: places.reasons, share: 70 },
            ],
            ranked(input.assessment).map(spill => [
              String(spill.rank),
              sayPlace(input.assessment, spill.chainage_m, voice),
              `${formatLength(spill.path.length_m, voice)}; ${sayPathEnd(spill.path.endsIn, voice)}`,
              sayPassing(spill.path, voice),
              spill.reasons.map(reason => saySpillReason(reason, voice)).join('; '),
            ]),
            width,
          ),
        ]),
  ])
}

/** What stands before the first spade. */
export function cautionSheet(desk: Desk): SheetPages {
  const { input, voice, room } = desk
  const { report } = wordsOf(voice)
  const width = room.column_mm
  return flowing('cautions', desk, [
    ...report.cautionItems.map(text => item(text, width, { ticked: true })),
    title(report.notConsidered),
    ...notLookedAt(input.assessment, input.settings, input.assumed).map(thing => item(report.notConsideredItems[thing], width)),
  ])
}

/** What the answer rests on: assumptions, settings and their origin, remarks on the data, sources. */
export function assumptionSheet(desk: Desk): SheetPages {
  const { input, voice, room } = desk
  const words = wordsOf(voice)
  const { report } = words
  const width = room.column_mm
  const { assessment: a, groundReport } = input
  const fit = a.findings.find(f => f.check === 'ground-fit')
  const unit = Object.hasOwn(report.unitFrom, groundReport.elevationUnitFrom) ? report.unitFrom[groundReport.elevationUnitFrom]! : ''
  const blocks: Block[] = [
    title(report.assumptions),
    ...report.assumptionItems.map(text => item(text, width)),
    title(report.data),
    paragraph(
      `${report.dataText(baseName(groundReport.fileName), groundReport.crsName, formatLength(a.ground.cell_m, voice))}. ${unit}`,
      width,
    ),
    ...(fit === undefined ? [] : [paragraph(sayFinding(fit, voice), width)]),
    paragraph(report.hashText(a.ground.sha256), width, { small: true }),
    paragraph(report.versionText(input.version), width, { small: true }),
    title(report.remarks),
    ...(a.ground.warnings.length === 0
      ? [paragraph(report.noRemarks, width)]
      : a.ground.warnings.map(warning => item(sayWarning(warning, voice), width))),
    title(report.settings),
    { ...paragraph(report.settingsNote, width, { small: true }), withNext: true },
    settingTable(desk),
    title(report.sources),
    ...[...new Set([a.runoff.curveNumberSource, ...a.findings.map(f => f.source)])].map(source => item(saySource(source, voice), width)),
    ...creditsOf(input).map(credit => item(credit, width)),
  ]
  return flowing('assumptions', desk, blocks)
}

function settingTable({ input, voice, room }: Desk): Block {
  const words = wordsOf(voice)
  const { report } = words
  const head = report.settingColumns
  const keys = Object.keys(words.setting) as (keyof Settings)[]
  return table(
    [
      { head: head.name, share: 62 },
      { head: head.value, share: 34 },
      { head: head.origin, share: 20 },
      { head: head.source, share: 66 },
    ],
    keys.map((key): Said[] => {
      const assumed = input.assumed.includes(key)
      const value = input.settings[key]
      return [
        said(words.setting[key]),
        said(saySetting(key, value, voice)),
        said(assumed ? report.assumed : report.given),
        said(assumed ? saySource(SETTINGS[key].source, voice) : ''),
      ]
    }),
    room.column_mm,
    { rowClass: k => (input.assumed.includes(keys[k]!) ? 'assumed-row' : '') },
  )
}

/** What a careful reviewer asks for, point by point, and lines to sign on. */
export function reviewSheet(desk: Desk): SheetPages {
  const { say, room, voice } = desk
  const width = room.column_mm
  const { report } = wordsOf(voice)
  const word = { holds: say.given, watch: say.inPart, unknown: say.notGiven } as const
  return flowing('review', desk, [
    paragraph(say.reviewLead, width),
    table(
      [
        { head: say.point_no, share: 9, number: true },
        { head: say.asked, share: 54 },
        { head: '', share: 8 },
        { head: say.inThisPlan, share: 108 },
      ],
      reviewPoints(desk).map(({ asked, given, state }, k): Said[] => [
        said(String(k + 1)),
        said(asked),
        { text: '00', html: verdictMark(state, word[state], 12) },
        said(given),
      ]),
      width,
    ),
    title(say.signHere),
    { html: `<div class="sign">${report.signatures.map(line => `<div>${e(line)}</div>`).join('')}</div>`, height_mm: 20 },
  ])
}
