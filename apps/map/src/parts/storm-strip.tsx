import { handsWords, sayHour, sayNotFollowed, sayOtherSwale, sayStage, sayStormHour } from '@soakline/drawing'
import { useDesk } from './with-sheet.js'

/** Steps of the hour's slider. */
const STEPS = 200

/** Under the long section: the storm from hour to hour, and what the water does at the level that is shown. */
export function StormStrip() {
  const { hands, voice } = useDesk()
  const say = handsWords(voice).storm
  const { water } = hands
  const [span, hour, stage] = [water.span.value, water.hour.value, water.stage.value]
  if (span === null && stage === null) return null
  const playing = water.playing.value
  return (
    <div class="storm-strip">
      {span !== null && (
        <>
          <button type="button" class="storm-play" aria-pressed={playing} onClick={playing ? water.stop : water.play}>
            <svg viewBox="0 0 16 16" aria-hidden="true">
              {playing ? (
                <path d="M4 3h3v10H4zM9 3h3v10H9z" />
              ) : (
                <path d="M8 1.5c2.6 3.4 4.2 5.6 4.2 8A4.2 4.2 0 0 1 3.8 9.5c0-2.4 1.6-4.6 4.2-8Z" />
              )}
            </svg>
            {playing ? say.pause : say.play}
          </button>
          <input
            type="range"
            class="storm-hours"
            aria-label={say.slider}
            aria-valuetext={sayHour(hour?.hour_h ?? span.from_h, voice)}
            min={span.from_h}
            max={span.to_h}
            step={(span.to_h - span.from_h) / STEPS}
            value={hour?.hour_h ?? span.from_h}
            onInput={event => {
              water.stop()
              water.setHour(Number(event.currentTarget.value))
            }}
          />
        </>
      )}
      {(hour !== null || stage !== null) && (
        <button
          type="button"
          class="storm-away"
          onClick={water.putAway}
          aria-label={stage === null ? say.putAway : handsWords(voice).section.letGo}
        >
          ×
        </button>
      )}
      {hour !== null && <OtherSwales />}
    </div>
  )
}

/** The plan's other swales at the hour that is shown, or why they are not followed. */
function OtherSwales() {
  const { hands, voice } = useDesk()
  const { others, swalesNow } = hands.water
  if (others.value === null) return null
  const { name } = handsWords(voice).swales
  return (
    <p class="small storm-others">
      {others.value === 'followed'
        ? swalesNow.value.map(({ line, at, bedElevation_m }) => (
            <span key={line}>{sayOtherSwale(name(String(line + 1)), at, bedElevation_m, voice)} </span>
          ))
        : sayNotFollowed(others.value, voice)}
    </p>
  )
}

/** What the water does at the hour or the level that is shown; null while none is. */
export function useWaterText(): string | null {
  const { sheet, hands, voice } = useDesk()
  const [hour, stage] = [hands.water.hour.value, hands.water.stage.value]
  const soakKnown = (sheet.settled.value?.assessment.soaking.infiltration_mmh ?? null) !== null
  return hour !== null ? sayStormHour(hour, soakKnown, voice) : stage !== null ? sayStage(stage, voice) : null
}
