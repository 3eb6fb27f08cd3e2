import { fieldWords, sayWay } from '@soakline/drawing'
import type { FeatureCollection } from 'geojson'
import { useEffect } from 'preact/hooks'
import { ringOnEarth, type Stake, settingsFrom, type WayToStake, wayToStake } from 'soakline/plan'
import type { Display, WorkAnswer } from '../worker/protocol.js'
import { type Desk, useDesk } from './with-sheet.js'

/** Where a stake stands on the map; null where it is not drawn. */
export function stakePlace(drawn: FeatureCollection, number: number): Display | null {
  const found = drawn.features.find(({ properties }) => properties?.what === 'stake' && properties.label === String(number))
  return found?.geometry.type === 'Point' ? [found.geometry.coordinates[0]!, found.geometry.coordinates[1]!] : null
}

/** The way to a stake from where the device says that it is; null while it says nothing, or the ground has no place on Earth. */
export function wayHere(
  { sheet, ownPosition }: Pick<Desk, 'sheet' | 'ownPosition'>,
  answer: WorkAnswer,
  number: number,
): WayToStake | null {
  const position = ownPosition.position.value
  const at = stakePlace(answer.drawn, number)
  if (position.kind !== 'on' || at === null || !answer.onEarth) return null
  const slope_ratio = sheet.settled.value?.assessment.line.meanGroundSlope_ratio ?? null
  return wayToStake(position.fix, at, settingsFrom(sheet.plan.value.settings).settings.positionLimit_m, slope_ratio)
}

/** What the plan shows of it: the stake that is sought, the own place with its circle, and the way while one may be told. */
export function placeShown(desk: Pick<Desk, 'sheet' | 'ownPosition' | 'field'>): FeatureCollection {
  const { sheet, ownPosition, field } = desk
  const answer = sheet.work.value
  const features: FeatureCollection['features'] = []
  if (answer !== null && field.open.value && sheet.leaf.value === 'work') {
    const number = Math.min(field.stake.value, answer.work.stakes.length)
    const goal = stakePlace(answer.drawn, number)
    if (goal !== null) features.push({ type: 'Feature', properties: { what: 'goal' }, geometry: { type: 'Point', coordinates: [...goal] } })
    const position = ownPosition.position.value
    if (position.kind === 'on' && answer.onEarth) {
      const { at, accuracy_m } = position.fix
      const coordinates = [...at]
      if (accuracy_m !== null) {
        const ring = ringOnEarth(at, accuracy_m).map(place => [...place])
        features.push({ type: 'Feature', properties: { what: 'accuracy' }, geometry: { type: 'Polygon', coordinates: [ring] } })
      }
      if (goal !== null && wayHere(desk, answer, number)?.state === 'walk')
        features.push({
          type: 'Feature',
          properties: { what: 'way' },
          geometry: { type: 'LineString', coordinates: [coordinates, [...goal]] },
        })
      features.push({ type: 'Feature', properties: { what: 'own' }, geometry: { type: 'Point', coordinates } })
    }
  }
  return { type: 'FeatureCollection', features }
}

/** Asks for the own position only when it is tapped, and says how far the stake is, if that may be said. */
export function OwnPlace({ answer, stake }: { readonly answer: WorkAnswer; readonly stake: Stake }) {
  const desk = useDesk()
  const { ownPosition, view, voice } = desk
  const say = fieldWords(voice)
  const position = ownPosition.position.value
  const goal = stakePlace(answer.drawn, stake.number)
  const here = position.kind === 'on' ? position.fix.at : null
  // Stake and own place stay in sight together, wherever one walks; where both are in sight already, the plan stays.
  useEffect(() => {
    if (goal === null) return
    const all = here !== null && answer.onEarth ? [goal, here] : [goal]
    const [x, y] = [all.map(p => p[0]), all.map(p => p[1])]
    view()?.show([Math.min(...x), Math.min(...y), Math.max(...x), Math.max(...y)])
  }, [here?.[0], here?.[1], stake.number])
  // What the device says stays with who looks: it is asked no more once the panel is gone.
  useEffect(() => () => ownPosition.stop(), [])
  if (!answer.onEarth) return <p class="small">{say.position.local}</p>
  const way = wayHere(desk, answer, stake.number)
  const said = way && sayWay(way, voice)
  return (
    <div class="own-place">
      <div role="status">
        {said?.glance && <p class="own-glance">{said.glance}</p>}
        {position.kind === 'asking' && <p>{say.asking}</p>}
        {position.kind === 'none' && <p>{say.position[position.why]}</p>}
        {said && <p>{said.lines[0]}</p>}
      </div>
      {said && said.lines.length > 1 && (
        <details>
          <summary>{say.more}</summary>
          {said.lines.slice(1).map(line => (
            <p class="small" key={line}>
              {line}
            </p>
          ))}
        </details>
      )}
      {position.kind === 'off' || position.kind === 'none' ? (
        <>
          <button type="button" class="field-big" onClick={ownPosition.ask}>
            {say.where}
          </button>
          {position.kind === 'off' && <p class="small">{say.whereHint}</p>}
        </>
      ) : (
        <button type="button" onClick={ownPosition.stop}>
          {say.stopWhere}
        </button>
      )}
    </div>
  )
}
