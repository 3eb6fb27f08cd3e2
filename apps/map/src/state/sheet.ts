import { computed, type Signal, signal } from '@preact/signals'
import type { FittingSystem, ReadOptions } from '@soakline/io'
import { emptyPlan, type Plan, type Settings } from 'soakline/plan'
import type { NoGoChange } from 'soakline/siting'
import { fromDisplay } from '../display.js'
import { refusalOf } from '../worker/client.js'
import type { Display, LineAnswer, Refusal, Sent } from '../worker/protocol.js'
import { createDemoHolding } from './demo-holding.js'
import { createDrag } from './drag.js'
import { createFileLines } from './file-lines.js'
import { createFilesInTurn } from './files-in-turn.js'
import { createFoundLines } from './found-lines.js'
import { createGroundWork } from './ground-work.js'
import { createHand } from './hand.js'
import { type History, startHistory } from './history.js'
import { createInSight } from './in-sight.js'
import { createKeeping } from './keeping.js'
import { createLineAnswers } from './line-answers.js'
import { createLineByHand } from './line-by-hand.js'
import { createMargin } from './margin.js'
import { createNotices } from './notices.js'
import type { OpenGround } from './open-ground.js'
import { createGroundOpening } from './opening-ground.js'
import { createPapers } from './papers.js'
import { createPointedPlace } from './pointed-place.js'
import { createSteps } from './steps.js'
import { createFileTaking } from './taking-files.js'
import { createTappedPlaces } from './tapped-places.js'
import { createTracing } from './traced-line.js'
import { createTakingUp } from './work-taken-up.js'
import type { World } from './world.js'

export type { FileLine } from './file-lines.js'
export type { KindQuestion, LayerKind, LayerQuestion, LayerSaid } from './layer-question.js'
export type { Leaf } from './margin.js'
export type { Notice } from './notices.js'
export type { GroundQuestion, OpenGround } from './open-ground.js'
export type { Area } from './tapped-places.js'

export type Sheet = ReturnType<typeof createSheet>

const NO_GROUND: Plan['ground'] = { file: '', sha256: '', crs: 'local', elevationUnit: null, nodata: null }

/**
 * The sheet's state and everything that can be done to it. No DOM: the world outside is handed in.
 *
 * What several rooms work on stands here: the plan with its steps, the open ground, and what is handed from one room to the next. A room knows what it is
 * given; where one must start what comes after it in this list, it is given a function to call.
 */
export function createSheet(world: World) {
  const { ask } = world
  const history: Signal<History> = signal(startHistory(emptyPlan('', NO_GROUND)))
  const plan = computed(() => history.value.plan)
  const ground = signal<OpenGround | null>(null)
  const isOpen = (): boolean => ground.value !== null
  const localCentre = computed(() => ground.value?.card.localCentre ?? null)
  /** How the raster is read while a plan speaks of its ground so. */
  const readAs = new WeakMap<Plan['ground'], ReadOptions>()
  /** Set while the plan is to be fitted to the evidence of the first answer after this one. */
  const toFit = signal<{ readonly after: LineAnswer | null } | null>(null)
  const fit = (after: LineAnswer | null): void => {
    toFit.value = { after }
  }

  const notices = createNotices()
  const margin = createMargin()
  const hand = createHand(plan)
  const keeping = createKeeping({ world, plan, ground, notices, letGo: hand.letGo })
  const { readOnly } = keeping
  const lines = createFileLines()
  const sight = createInSight(ask, lines)

  const refused = (error: unknown): void => groundOpening.afterDeath(error)
  const steps = createSteps({
    history,
    plan,
    ground,
    readAs,
    hand,
    keeping,
    notices,
    next: {
      refresh: () => lineAnswers.refresh(),
      askWork: () => groundWork.askWork(),
      readAgain({ file, name, demo }, options) {
        void groundOpening.openGround(file, name, options, { plan: plan.value, demo, keepHistory: true, exact: true })
      },
      rename: () => demo.renameDemo(world.language.value),
    },
  })
  const { record, edit, note } = steps

  const { traceProblem, follow } = createTracing({ ask, plan, hand, localCentre, refused })
  const lineAnswers = createLineAnswers({
    ask,
    plan,
    hand,
    isOpen,
    follow,
    record,
    told: {
      answered: length_m => pointing.keepOnLine(length_m),
      caughtUp: () => pointing.pointAgain(),
      refused,
    },
  })
  const { answer, settled, answering, refresh, traceLine } = lineAnswers
  const pointing = createPointedPlace({ ask, answer, answering, isDrafting: hand.isMoving, isOpen })
  const { point } = pointing
  const finding = createFoundLines({ ask, plan, settled: lineAnswers.idle })
  const groundWork = createGroundWork({ ask, plan, settled, answering, refused })

  const groundOpening = createGroundOpening({
    ask,
    history,
    plan,
    ground,
    readAs,
    hand,
    keeping,
    lines,
    sight,
    notices,
    record,
    putAway() {
      lineAnswers.putAnswersAway()
      traceProblem.value = null
      groundWork.putWorkAway()
      finding.putFoundAway()
      pointing.putPointerAway()
      hand.letGo()
      margin.focused.value = null
      toFit.value = null
    },
    fit,
    refresh,
  })
  const taking = createFileTaking({
    ask,
    plan,
    ground,
    readAs,
    hand,
    keeping,
    lines,
    sight,
    groundOpening,
    groundWork,
    margin,
    notices,
    edit,
    note,
    answered: lineAnswers.idle,
    dropNow: () => filesInTurn.dropNow(),
  })
  const filesInTurn = createFilesInTurn({ readOnly, lines, sight, groundOpening, taking, notices, keep: keeping.keep })
  const demo = createDemoHolding({
    world,
    history,
    plan,
    ground,
    hand,
    keeping,
    lines,
    sight,
    openGround: groundOpening.openGround,
    answer,
    lyingOn: taking.lyingOn,
    edit,
    refresh,
    fit,
  })
  const takingUp = createTakingUp({ world, ground, readAs, keeping, groundOpening, demo, filesInTurn, notices })

  const drag = createDrag({ plan, hand, localCentre, answer, readOnly, lineAnswers, notices, point, edit })
  const { found } = finding
  const { walk, ...lineByHand } = createLineByHand({
    ask,
    plan,
    hand,
    localCentre,
    found,
    traceProblem,
    traceLine,
    readOnly,
    notices,
    edit,
  })
  const { pointAt } = lineByHand
  const tapped = createTappedPlaces({ plan, hand, localCentre, lineByHand: { pointAt, walk }, isOpen, edit, margin, refresh })
  const papers = createPapers({ ask, plan, ground, records: groundWork.records })

  return {
    history,
    plan,
    edit,
    note,
    undo: steps.undo,
    redo: steps.redo,
    ...notices,
    ...margin,
    toFit,

    workNumber: keeping.workNumber,
    saving: keeping.saving,
    planInFile: keeping.planInFile,
    markInFile: keeping.markInFile,
    saveNow: keeping.saveNow,
    lasting: keeping.lasting,
    unopened: keeping.unopened,
    readOnly,
    canGoBack: keeping.canGoBack,
    /** Works on in a second tab without keeping anything in this browser. */
    workHere: () => keeping.letIn({ kind: 'not-kept' }),
    ...takingUp,
    openDemo: demo.openDemo,
    renameDemo: demo.renameDemo,
    useDemoLine: demo.useDemoLine,

    ground,
    localCentre,
    contours: groundOpening.contours,
    drawContours: groundOpening.drawContours,
    confirmGround: groundOpening.confirmGround,
    awaitingGround: groundOpening.awaitingGround,
    coming: groundOpening.coming,
    opening: sight.opening,
    openingDone: sight.openingDone,
    /** Leaves off reading a raster; what was open stays. */
    stopOpening: () => {
      sight.callOff()
      groundOpening.callOffGround()
    },
    files: lines.files,
    forgetFile: lines.forgetFile,
    dropSpokenOf: lines.dropSpokenOf,
    waiting: filesInTurn.waiting,
    openFiles: filesInTurn.openFiles,
    groundQuestion: groundOpening.groundQuestion,
    answerGround: filesInTurn.answerGround,
    layerQuestion: taking.layerQuestion,
    answerLayer: filesInTurn.answerLayer,
    kindQuestion: taking.kindQuestion,
    answerKinds: filesInTurn.answerKinds,
    leaveQuestion: filesInTurn.leaveQuestion,

    mode: hand.mode,
    shaping: hand.shaping,
    draftSettings: hand.draftSettings,
    adding: hand.adding,
    byHand: hand.byHand,
    tracing: hand.tracing,
    line: hand.line,
    features: hand.features,
    chosen: hand.chosen,
    ...drag,
    ...lineByHand,
    ...tapped,

    site: lineAnswers.site,
    siteProblem: lineAnswers.siteProblem,
    answer,
    settled,
    lineProblem: lineAnswers.lineProblem,
    traceProblem,
    answering,
    idle: lineAnswers.idle,
    wholeDone: lineAnswers.wholeDone,
    wholeStopped: lineAnswers.wholeStopped,
    lastWhole: lineAnswers.lastWhole,
    stopWhole: lineAnswers.stopWhole,
    goOnWhole: lineAnswers.goOnWhole,
    ...finding,
    pointer: pointing.pointer,
    sectionHere: pointing.sectionHere,
    reading: pointing.reading,
    point,
    readPlace: (at: Display | null) => pointing.readPlace(at && fromDisplay(at, localCentre.value)),

    work: groundWork.work,
    workProblem: groundWork.workProblem,
    working: groundWork.working,
    bench: groundWork.bench,
    askWork: groundWork.askWork,
    ...papers,

    /** Questions that no state of the sheet hangs on. */
    askWorker: ask,
    /** What a limit does to no-go ground against its usual value; null where nobody can say. */
    limitChange: (name: keyof Settings): Promise<NoGoChange | null> =>
      isOpen() ? ask('limitChange', { name }).catch(() => null) : Promise.resolve(null),
    /** Looks for coordinate systems that put a file where it is said to lie. */
    findSystems: (asked: Sent<'findSystems'>): Promise<{ readonly systems: readonly FittingSystem[] } | { readonly refusal: Refusal }> =>
      ask('findSystems', asked).then(
        systems => ({ systems }),
        error => ({ refusal: refusalOf(error) }),
      ),
  }
}
