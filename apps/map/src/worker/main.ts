import { InputError } from 'soakline/foundation'
import { kernelsWhenNeeded } from './kernels.js'
import { keptInCache } from './open-data.js'
import type { Asked, GroundPicture, Pictured, Progress, Refusal, Reply, SessionQuestion, Warming, Withdrawn } from './protocol.js'
import { rehearsal } from './rehearsal.js'
import { createSession, type Session } from './session.js'
import { BEHIND, type Behind, callsOff, waitingLine } from './waiting-line.js'
import { warmDrag } from './warm-drag.js'

/** The part of a worker's global scope that is used: the DOM's own types have no worker. */
interface Scope {
  onmessage: ((event: MessageEvent<Asked | Withdrawn | Warming>) => void) | null
  postMessage(message: Reply | Progress | Pictured, transfer: Transferable[]): void
}
const scope = self as unknown as Scope

const kernelsFor = kernelsWhenNeeded()
const here = createSession({
  version: __SOAKLINE_VERSION__,
  kernelsFor,
  // The page's own policy allows it no host but its own: what comes from elsewhere comes through here, by the list of hosts that each question brings.
  network: { fetch: (address, init) => fetch(address, init), kept: keptInCache(globalThis.caches) },
  toBitmap: ({ width, height, pixels }) =>
    createImageBitmap(new ImageData(pixels, width, height), { premultiplyAlpha: 'none', colorSpaceConversion: 'none' }),
})
const session: Session = here

const asRefusal = (error: unknown): Refusal =>
  error instanceof InputError
    ? error.toJSON()
    : {
        code: 'unexpected',
        message: error instanceof Error ? error.message : String(error),
        details: error instanceof Error && error.stack ? { stack: error.stack } : {},
      }

const send = (reply: Reply): void =>
  scope.postMessage(reply, reply.ok && typeof ImageBitmap !== 'undefined' && reply.value instanceof ImageBitmap ? [reply.value] : [])

const line = waitingLine()
let busy = false
/** A question that is being answered, and how it is called off. */
interface Running {
  readonly id: number
  readonly question: SessionQuestion
  readonly off: AbortController
}
let running: Running | null = null
/** Long answers, worked out in turns behind the other questions. */
const behind = new Map<Behind, Running>()
const isBehind = (question: SessionQuestion): question is Behind => (BEHIND as readonly SessionQuestion[]).includes(question)

scope.onmessage = ({ data }) => {
  if ('warmUp' in data) return warmUp()
  if ('withdraw' in data) withdraw(data)
  else receive(data)
  if (!busy) void work()
}

const callOff = (one: Running | null | undefined): void => one?.off.abort(new InputError('worker/called-off', 'It was called off.'))

function withdraw({ withdraw: id }: Withdrawn): void {
  for (const one of [running, ...behind.values()]) if (one?.id === id) callOff(one)
  line.withdraw(id)
}

function receive(asked: Asked): void {
  // What can be drawn of a ground that is being opened is drawn between two steps of it.
  if (asked.question === 'tile' && running?.question === 'openGround') return void answer(asked, () => undefined)
  for (const question of callsOff(asked.question)) callOff(behind.get(question))
  for (const id of line.add(asked))
    send({ id, ok: false, error: { code: 'superseded', message: 'A newer question took the place of this one.', details: {} } })
}

/** Takes one question after another, and between two of them lets newer messages in. */
async function work(): Promise<void> {
  busy = true
  await turn()
  for (let asked = line.next(); asked; asked = line.next()) {
    if (isBehind(asked.question)) void answerBehind(asked, asked.question)
    else await answer(asked, one => (running = one))
    await turn()
  }
  busy = false
  idle?.()
}

/** Set while what is worked out for speed alone waits for other questions to be answered. */
let idle: (() => void) | null = null
/** What is worked out for speed alone, one after the other, once the page has said that there is time for it: nobody is told of it. */
let goAhead = (): void => undefined
let warming = new Promise<void>(go => {
  goAhead = go
})
let warm = false

/** An invented line is dragged between the other questions, see `warmDrag`. */
function warmUp(): void {
  if (warm) return
  warm = true
  goAhead()
  const apart = createSession({ kernelsFor, toBitmap: () => Promise.reject(new Error('The invented drag asks for no picture.')) })
  inIdleTime(warmDrag(apart))
}

const rehearse = rehearsal(sent => here.rehearse(sent))

function inIdleTime(steps: AsyncGenerator<void>): void {
  warming = warming.then(() => between(steps)).catch(() => undefined)
}

/** Goes on step by step while no question waits. */
async function between(steps: AsyncGenerator<void>): Promise<void> {
  for await (const _ of steps) {
    await turn()
    while (busy)
      await new Promise<void>(go => {
        idle = go
      })
  }
}

/** How often the page hears how far a long question is: it draws itself anew each time, which takes longer than many a step. Unit: ms. Source: judgement. */
const TELL_MS = 200

/** Told the first time, at the end, and between them no oftener than a person can use. */
function seldom(tell: (done: number) => void): (done: number) => void {
  let told_ms = Number.NEGATIVE_INFINITY
  return done => {
    const now_ms = performance.now()
    if (done < 1 && now_ms - told_ms < TELL_MS) return
    told_ms = now_ms
    tell(done)
  }
}

async function answerBehind(asked: Asked, question: Behind): Promise<void> {
  behind.get(question)?.off.abort(new InputError('worker/called-off', 'A newer one took its place.'))
  await answer(asked, one => {
    // Another may have begun meanwhile: its place is not cleared.
    if (one !== null) behind.set(question, one)
    else if (behind.get(question)?.id === asked.id) behind.delete(question)
  })
}

async function answer<K extends SessionQuestion>({ id, question, sent }: Asked<K>, mark: (running: Running | null) => void): Promise<void> {
  const off = new AbortController()
  mark({ id, question, off })
  try {
    const turns = {
      signal: off.signal,
      onProgress: seldom((done: number) => scope.postMessage({ id, done }, [])),
      onPicture: (picture: GroundPicture) => scope.postMessage({ id, picture }, []),
    }
    send({ id, ok: true, value: await session[question](sent, turns) } as Reply)
    const steps = rehearse(question, sent)
    if (steps !== null) inIdleTime(steps)
  } catch (error) {
    send({ id, ok: false, error: asRefusal(error) })
  }
  mark(null)
}

/** One turn of the event loop: a message channel, since a timer's turn is held back to 4 ms. */
function turn(): Promise<void> {
  return new Promise(resolve => {
    const { port1, port2 } = new MessageChannel()
    port1.onmessage = () => {
      port1.close()
      resolve()
    }
    port2.postMessage(null)
  })
}
