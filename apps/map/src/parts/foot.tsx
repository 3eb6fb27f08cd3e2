import { effect, type ReadonlySignal } from '@preact/signals'
import {
  bedAt,
  crossSectionSvg,
  formatLength,
  handsWords,
  longSectionFrame,
  longSectionSvg,
  longSectionWaterSvg,
  plainText,
  type SectionSize,
  sayVerdict,
  sectionWater,
  type Voice,
} from '@soakline/drawing'
import { useEffect, useMemo, useState } from 'preact/hooks'
import type { Assessment } from 'soakline/plan'
import type { LineAnswer } from '../worker/protocol.js'
import { Drawing, Mark } from './drawing.js'
import { HoldingField } from './holding-field.js'
import { SectionHands } from './section-hands.js'
import { StormStrip, useWaterText } from './storm-strip.js'
import { useRoom } from './use-room.js'
import { useDesk } from './with-sheet.js'

/** What a signal holds, one task of the event loop later: under a finger the plan and the sentences come first, the sections after them. */
function useLate<T>(source: ReadonlySignal<T>): T {
  const [late, setLate] = useState(() => source.peek())
  useEffect(
    () =>
      effect(() => {
        const next = source.value
        const waiting = setTimeout(() => setLate(() => next))
        return () => clearTimeout(waiting)
      }),
    [source],
  )
  return late
}

/** Along the foot: the long section of the line from end to end, and beside it the cross-section at the place pointed at. */
export function Foot() {
  const { sheet, voice, say } = useDesk()
  const long = useRoom<HTMLElement>()
  const answer = useLate(sheet.answer)
  return (
    <section class="foot" aria-label={say.foot}>
      <div class="long-part">
        <figure class="long-section" ref={long.ref}>
          {answer === null ? (
            <p class="foot-empty">{say.section.none}</p>
          ) : (
            long.room && (
              <>
                <LongSection assessment={answer.assessment} voice={voice} room={long.room} />
                <WaterNow assessment={answer.assessment} room={long.room} />
                <SectionPointer assessment={answer.assessment} room={long.room} />
                <SectionHands assessment={answer.assessment} room={long.room} />
              </>
            )
          )}
        </figure>
        <StormStrip />
      </div>
      <CrossSection answer={answer} />
    </section>
  )
}

/** Drawn anew with another answer, voice or room, not with every move of the pointer. */
function LongSection({ assessment, voice, room }: { readonly assessment: Assessment; readonly voice: Voice; readonly room: SectionSize }) {
  const svg = useMemo(() => longSectionSvg(assessment, voice, room), [assessment, voice, room])
  return <Drawing svg={svg} />
}

/** The water at the level that is looked at, over the long section. */
function WaterNow({ assessment, room }: { readonly assessment: Assessment; readonly room: SectionSize }) {
  const { hands, voice } = useDesk()
  const level_m = hands.water.level_m.value
  if (level_m === null) return null
  const { water, waterNow } = handsWords(voice).storm
  const svg = longSectionWaterSvg(assessment, level_m, hands.water.hour.value === null ? waterNow : water, voice, room)
  return svg === null ? null : <Drawing className="water-now" svg={svg} />
}

/** Steps of the arrow keys along the line, as parts of it; the large ones by Page Up and Page Down. */
const [STEPS, LARGE_STEPS] = [100, 10]

/** Lies over the long section: mouse, finger and arrow keys choose a place along the line. */
function SectionPointer({ assessment, room }: { readonly assessment: Assessment; readonly room: SectionSize }) {
  const { sheet, voice, say } = useDesk()
  const frame = longSectionFrame(assessment, room)
  if (frame === null) return null
  const { length_m } = assessment.line
  const at = sheet.pointer.value
  const pick = (event: PointerEvent & { readonly currentTarget: HTMLElement }): void =>
    sheet.point(frame.chainage_m(event.clientX - event.currentTarget.getBoundingClientRect().left))
  const onKey = (event: KeyboardEvent): void => {
    const now = at ?? length_m / 2
    const to: Readonly<Record<string, number | null>> = {
      ArrowRight: now + length_m / STEPS,
      ArrowUp: now + length_m / STEPS,
      ArrowLeft: now - length_m / STEPS,
      ArrowDown: now - length_m / STEPS,
      PageUp: now + length_m / LARGE_STEPS,
      PageDown: now - length_m / LARGE_STEPS,
      Home: 0,
      End: length_m,
      Escape: null,
    }
    const next = to[event.key]
    if (next === undefined) return
    event.preventDefault()
    sheet.point(next === null ? null : Math.min(Math.max(next, 0), length_m))
  }
  return (
    <div
      class="section-pointer"
      role="slider"
      tabIndex={0}
      aria-label={say.section.slider}
      aria-valuemin={0}
      aria-valuemax={Math.round(length_m)}
      aria-valuenow={Math.round(at ?? length_m / 2)}
      aria-valuetext={say.section.at(formatLength(at ?? length_m / 2, voice))}
      onPointerMove={pick}
      onPointerDown={pick}
      onPointerLeave={event => {
        if (event.pointerType === 'mouse' && document.activeElement !== event.currentTarget) sheet.point(null)
      }}
      onKeyDown={onKey}
    >
      {at !== null && (
        <div
          class="section-mark"
          style={{ left: `${frame.x(at)}px`, top: `${frame.top - 14}px`, height: `${frame.floor - frame.top + 14}px` }}
        />
      )}
    </div>
  )
}

function CrossSection({ answer }: { readonly answer: LineAnswer | null }) {
  const { sheet, hands, voice, say } = useDesk()
  const cross = useRoom<HTMLDivElement>()
  const told = useWaterText()
  const here = sheet.sectionHere.value
  const at = here !== null && here.revision === answer?.revision ? here : null
  const section = at === null ? (answer?.assessment.section ?? null) : at.section
  const length = at === null ? '' : formatLength(at.chainage_m, voice)
  const level_m = hands.water.level_m.value
  const named = handsWords(voice).storm
  const levels = answer === null ? null : sectionWater(answer.assessment, at?.chainage_m ?? null)
  const bed_m = answer === null ? 0 : bedAt(answer.assessment, at?.chainage_m ?? null)
  const water =
    levels === null
      ? undefined
      : level_m === null
        ? levels
        : { ...levels, now: { z_m: Math.max(0, level_m - bed_m), name: hands.water.hour.value === null ? named.waterNow : named.water } }
  return (
    <figure class="cross-section">
      {section !== null && (
        <figcaption aria-live={told === null || hands.water.playing.value ? 'off' : 'polite'}>
          {told ?? (at === null ? say.section.mean : say.section.at(length))}
        </figcaption>
      )}
      <div class="cross-room" ref={cross.ref}>
        {section !== null && cross.room ? (
          <Drawing svg={crossSectionSvg(section, voice, cross.room, water)} />
        ) : (
          answer !== null && section === null && <p class="foot-empty">{at === null ? say.section.cross : say.section.notHere(length)}</p>
        )}
      </div>
    </figure>
  )
}

/** The title block, as on any drawing sheet. */
export function TitleBlock() {
  const { sheet, prefs, voice, say } = useDesk()
  const open = sheet.ground.value
  const fit = sheet.site.value?.fit ?? open?.card.fit
  const today = new Intl.DateTimeFormat(prefs.voice.value.locale ?? voice.language, { dateStyle: 'long' }).format(new Date())
  return (
    <section class="title-block" aria-label={say.titleBlock}>
      <HoldingField className="title-holding" />
      <dl>
        <div class="title-wide">
          <dt>{say.title.shows}</dt>
          <dd>{say.title.showsText}</dd>
        </div>
        <div>
          <dt>{say.title.data}</dt>
          <dd>{open ? `${plainText(open.name)}, ${say.title.cell(formatLength(open.card.report.cell_m, voice))}` : '–'}</dd>
        </div>
        <div>
          <dt>{say.title.trust}</dt>
          <dd>
            {fit ? (
              <>
                <Mark verdict={fit.verdict} voice={voice} size={13} /> {sayVerdict(fit.verdict, voice)}
              </>
            ) : (
              '–'
            )}
          </dd>
        </div>
        <div>
          <dt>{say.title.date}</dt>
          <dd>{today}</dd>
        </div>
      </dl>
      <p class="small">{say.title.estimate}</p>
    </section>
  )
}
