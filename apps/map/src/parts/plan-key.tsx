import { handsWords, onSiteWords, sitingSheetWords } from '@soakline/drawing'
import { inksOf } from '../plan-view/layers.js'
import { useDesk } from './with-sheet.js'

interface Stroke {
  readonly width: number
  readonly dash?: string
}

/** What the signs on the plan mean, of those that it shows now. */
export function PlanKey() {
  const { sheet, prefs, voice } = useDesk()
  const say = sitingSheetWords(voice).key
  const inks = inksOf(prefs.theme.value)
  const drawn = sheet.answer.value?.drawn.features ?? []
  const { pits = [], sightings = [] } = sheet.plan.value.soil ?? {}
  const has = (what: string): boolean => drawn.some(({ properties }) => properties?.what === what)
  const entries: [string, string, Stroke][] = []
  if (has('breach-stake'))
    entries.push(
      [say.building, inks.noGo, { width: 8 }],
      [say.value, inks.noGo, { width: 7, dash: '5 3.5' }],
      [say.unknown, inks.faint, { width: 6, dash: '2 4' }],
    )
  if (has('breach')) entries.push([say.breach, inks.noGo, { width: 2, dash: '2 3' }])
  if (has('tried'))
    entries.push(
      [say.any, inks.water, { width: 1.4, dash: '1.4 3' }],
      [say.tenth, inks.water, { width: 1.4, dash: '3.5 2' }],
      [say.half, inks.water, { width: 1.4, dash: '8 2' }],
    )
  if ((sheet.found.value?.search.lines.length ?? 0) > 0) entries.push([say.candidate, inks.growth, { width: 2.6, dash: '7 3' }])
  const { other, designA } = handsWords(voice).key
  if (sheet.plan.value.lines.length > 1) entries.push([other, inks.ditch, { width: 2.4 }])
  if (sheet.plan.value.otherDesign) entries.push([designA, inks.ink, { width: 1.8, dash: '8 3 1.5 3' }])
  const signs: [string, string, string][] = []
  if (pits.length > 0) signs.push([say.pit, inks.contour, inks.paper])
  if (sheet.leaf.value === 'work' && sheet.work.value !== null) {
    const { stake, named, low } = onSiteWords(voice).key
    signs.push([stake, inks.ditch, inks.paper], [named, inks.paper, inks.ditch])
    if (sheet.work.value.drawn.features.some(({ properties }) => properties?.what === 'low-spot'))
      entries.push([low, inks.noGo, { width: 8 }])
  }
  if (sightings.length > 0) signs.push([say.seen, inks.paper, inks.noGo])
  if ((sheet.found.value?.search.outlets.places.length ?? 0) > 0) signs.push([say.outlet, inks.water, inks.paper])
  if (entries.length + signs.length === 0) return null
  return (
    <details class="plan-key">
      <summary>{say.title}</summary>
      <ul>
        {entries.map(([text, ink, { width, dash }]) => (
          <li key={text}>
            <svg width="34" height="12" aria-hidden="true">
              <line
                x1="1"
                x2="33"
                y1="6"
                y2="6"
                stroke={ink}
                stroke-width={width}
                stroke-opacity={width > 4 ? 0.6 : 1}
                {...(dash ? { 'stroke-dasharray': dash } : {})}
              />
            </svg>
            {text}
          </li>
        ))}
        {signs.map(([text, rim, fill]) => (
          <li key={text}>
            <svg width="34" height="14" aria-hidden="true">
              <circle cx="17" cy="7" r="5" stroke={rim} fill={fill} stroke-width="2" />
            </svg>
            {text}
          </li>
        ))}
      </ul>
      {has('breach-stake') && <p>{say.nothing}</p>}
    </details>
  )
}
