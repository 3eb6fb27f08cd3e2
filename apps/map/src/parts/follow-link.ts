import { effect, signal } from '@preact/signals'
import type { PlanView } from '../plan-view/plan-view.js'
import { groundTag, type Link, partsOf, placeAt, readLink, writtenLink } from '../state/link.js'
import type { OpenGround, Sheet } from '../state/sheet.js'
import type { Desk } from './with-sheet.js'

const tagOf = ({ demo, card }: OpenGround): string => groundTag(demo, card.report.sha256)

/** The view as the reader has it now, as a link. */
function linkNow(sheet: Sheet, view: PlanView | null, byHand: boolean): Link | null {
  const ground = sheet.ground.value
  if (ground === null) return null
  const now = byHand ? view?.viewNow() : null
  return {
    ground: tagOf(ground),
    view: now ? { ...partsOf(now.at, ground.card.bounds), zoom: now.zoom } : null,
    question: sheet.focused.value,
  }
}

/** The whole address of what is in sight. */
export function addressOfView({ sheet, view }: Desk): string {
  const link = linkNow(sheet, view(), true)
  return new URL(link === null ? './' : writtenLink(link), document.baseURI).href
}

/** Opens the demo where a link asks for it; work that stands on the sheet is set aside. */
export function openDemoFor(sheet: Sheet): void {
  if (sheet.ground.value?.demo || sheet.readOnly.value) return
  sheet.silence('restored')
  void sheet.openDemo()
}

/** Takes the view from the page's address when it is opened or changed by hand, and writes it there as the reader moves. Gives what ends it. */
export function followLink(view: PlanView, { sheet }: Desk, movedByHand: { readonly value: number }): () => void {
  const wanted = signal(readLink(location.hash))
  const onHash = (): void => {
    const link = readLink(location.hash)
    if (link === null) return
    wanted.value = link
    if (link.ground === 'demo') openDemoFor(sheet)
  }
  addEventListener('hashchange', onHash)
  const stops = [
    effect(() => {
      const [link, ground] = [wanted.value, sheet.ground.value]
      if (link === null || ground === null) return
      if (link.ground !== tagOf(ground)) {
        // The demo is still to be opened; any other ground is not here.
        if (link.ground !== 'demo') wanted.value = null
        return
      }
      // What the sheet itself fits to the first answer comes before.
      const answered = sheet.answer.value !== null || sheet.lineProblem.value !== null
      if (sheet.toFit.value !== null || ((ground.demo || sheet.line.value !== null) && !answered)) return
      setTimeout(() => {
        wanted.value = null
        if (link.question !== null && sheet.focused.value !== link.question && sheet.answer.value !== null) sheet.ask(link.question)
        if (link.view !== null) view.lookAt(placeAt(link.view, ground.card.bounds), link.view.zoom)
      })
    }),
    effect(() => {
      const link = linkNow(sheet, view, movedByHand.value > 0)
      if (link === null || wanted.value !== null) return
      const plain = link.view === null && link.question === null
      const stands = readLink(location.hash)
      // Nothing to tell: an address that names this ground alone is left as it is, and so is one that is not ours.
      if (plain && (stands === null || writtenLink(stands) === writtenLink(link))) return
      history.replaceState(history.state, '', plain ? `${location.pathname}${location.search}` : writtenLink(link))
    }),
  ]
  return () => {
    removeEventListener('hashchange', onHash)
    for (const stop of stops) stop()
  }
}
