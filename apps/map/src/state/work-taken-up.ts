import { batch, type ReadonlySignal } from '@preact/signals'
import type { ReadOptions } from '@soakline/io'
import type { Plan } from 'soakline/plan'
import type { Kept } from './browser-store.js'
import type { DemoHolding } from './demo-holding.js'
import type { FilesInTurn } from './files-in-turn.js'
import { replay } from './journal.js'
import type { Keeping } from './keeping.js'
import { draftPlan, isOfNewerPage } from './kept-text.js'
import type { Notices } from './notices.js'
import type { OpenGround } from './open-ground.js'
import type { GroundOpening } from './opening-ground.js'
import type { World } from './world.js'

/** What taking up rests on. */
export interface TakingUpNeeds {
  readonly world: Pick<World, 'tab' | 'now'>
  readonly ground: ReadonlySignal<OpenGround | null>
  readonly readAs: WeakMap<Plan['ground'], ReadOptions>
  readonly keeping: Keeping
  readonly groundOpening: Pick<GroundOpening, 'openGround' | 'awaitingGround'>
  readonly demo: Pick<DemoHolding, 'openDemo' | 'learnNames'>
  readonly filesInTurn: Pick<FilesInTurn, 'openAfter'>
  readonly notices: Pick<Notices, 'tell'>
}

/** Work that was kept, put on the sheet again: at the start, from what was set aside, from another tab. */
export function createTakingUp({ world, ground, readAs, keeping, groundOpening, demo, filesInTurn, notices: { tell } }: TakingUpNeeds) {
  const { openGround, awaitingGround } = groundOpening

  /** The first work on the sheet, once it is there. */
  let begun: Promise<void> = Promise.resolve()

  /** Puts kept work on the sheet, with its steps of undo; `stands`: the store has it as the work of now. False where it cannot be opened. */
  async function takeUp(kept: Kept, stands: boolean): Promise<boolean> {
    try {
      const base = draftPlan(kept.planText)
      readAs.set(base.ground, kept.options)
      const { history: was, inFile, readings, cut } = replay(base, kept.inFile === true, kept.rows)
      for (const [of, options] of readings) readAs.set(of, options)
      if (kept.demo) await demo.learnNames()
      if (kept.ground === null) {
        // There was no room for the raster: the plan waits for it.
        batch(() => {
          awaitingGround.value = was.plan
          tell('ground-missing')
        })
        return true
      }
      const options = readAs.get(was.plan.ground) ?? kept.options
      if (!(await openGround(kept.ground, kept.name, options, { plan: was.plan, history: was, demo: kept.demo, exact: true }))) return false
      batch(() => keeping.goOnWith(kept, { options, inFile, cut, stands }))
      return true
    } catch {
      return false
    }
  }

  async function beginWork(): Promise<void> {
    const mine = await world.tab.claim(keeping.handOver)
    if (!mine) keeping.lookOn()
    const kept = await keeping.openKept(mine)
    if (kept) {
      if (await takeUp(kept, true)) {
        if (mine) tell('restored')
        return
      }
      if (isOfNewerPage(kept.planText)) keeping.leaveStore()
      else await keeping.putByUnopened(kept)
    }
    await demo.openDemo()
  }

  return {
    /** Opens the work that this browser kept, or else the demo. Files that are brought meanwhile are opened after it. */
    start(): Promise<void> {
      const first = beginWork()
      begun = first.catch(() => undefined)
      filesInTurn.openAfter(begun)
      return first
    },
    /** Takes up the work that was set aside; that of now is set aside in its place. */
    async goBack(): Promise<void> {
      const kept = await keeping.readAside()
      if (kept === null || keeping.readOnly.value) return
      if (keeping.keeps() && ground.value !== null) await keeping.setAside()
      if (await takeUp(kept, false)) keeping.keep()
    },
    /** Makes this tab the one that works on the kept work; the tab before looks on. */
    async takeOver(): Promise<void> {
      // What this tab opened first would otherwise come after the work that is taken over, and lie on it.
      await begun
      await world.tab.takeOver(keeping.handOver)
      const kept = await keeping.openAsMine()
      if (kept === null) keeping.beginJournal()
      if (kept === null || (await takeUp(kept, true)))
        keeping.letIn(kept === null ? { kind: 'untouched' } : { kind: 'saved', at: world.now() })
      else await keeping.putByUnopened(kept)
    },
  }
}
