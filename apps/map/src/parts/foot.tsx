import { crossSectionSvg, formatLength, longSectionSvg, plainText, type SectionSize, sayVerdict } from '@soakline/drawing'
import type { RefObject } from 'preact'
import { useEffect, useRef, useState } from 'preact/hooks'
import * as edits from '../state/edits.js'
import { Drawing, Mark } from './drawing.js'
import { TextField } from './field.js'
import { useDesk } from './with-sheet.js'

/** The room that a drawing has on the page; it is drawn anew when that changes, so that its lettering keeps its size. */
function useRoom(): { readonly ref: RefObject<HTMLElement | null>; readonly room: SectionSize | null } {
  const ref = useRef<HTMLElement>(null)
  const [room, setRoom] = useState<SectionSize | null>(null)
  useEffect(() => {
    const element = ref.current
    if (element === null) return
    const observer = new ResizeObserver(([entry]) => {
      const { width, height } = entry!.contentRect
      setRoom(width > 0 && height > 0 ? { width: Math.round(width), height: Math.round(height) } : null)
    })
    observer.observe(element)
    return () => observer.disconnect()
  }, [])
  return { ref, room }
}

/** Along the foot: the long section of the line from end to end, and the cross-section beside it. */
export function Foot() {
  const { sheet, voice, say } = useDesk()
  const long = useRoom()
  const cross = useRoom()
  const assessment = sheet.answer.value?.assessment ?? null
  const section = assessment?.section ?? null
  return (
    <section class="foot" aria-label={say.foot}>
      <figure class="long-section" ref={long.ref}>
        {assessment === null ? (
          <p class="foot-empty">{say.section.none}</p>
        ) : (
          long.room && <Drawing svg={longSectionSvg(assessment, voice, long.room)} />
        )}
      </figure>
      <figure class="cross-section" ref={cross.ref}>
        {section !== null && cross.room ? (
          <Drawing svg={crossSectionSvg(section, voice, cross.room)} />
        ) : (
          assessment !== null && section === null && <p class="foot-empty">{say.section.cross}</p>
        )}
      </figure>
    </section>
  )
}

/** The title block, as on any drawing sheet. */
export function TitleBlock() {
  const { sheet, prefs, voice, say } = useDesk()
  const open = sheet.ground.value
  const fit = sheet.answer.value?.assessment.findings.find(f => f.check === 'ground-fit')
  const today = new Intl.DateTimeFormat(prefs.voice.value.locale ?? voice.language, { dateStyle: 'long' }).format(new Date())
  return (
    <section class="title-block" aria-label={say.titleBlock}>
      <TextField
        className="title-holding"
        label={say.title.holding}
        value={sheet.plan.value.holding}
        onCommit={holding => sheet.edit(plan => edits.setHolding(plan, holding))}
      />
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
