/**
 * Long work in pieces: each step does a piece and gives the part that is done (0–1); the end returns the result.
 *
 * A synchronous loop cannot hear that it is no longer wanted. So every long function of the library has a sister that ends in `Steps`; the
 * function itself is `finish` of it.
 */
export type Steps<T> = Generator<number, T, void>

/** All of it at once. */
export function finish<T>(steps: Steps<T>): T {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

/** What is needed of an `AbortSignal`. */
export interface CancelSignal {
  readonly aborted: boolean
  readonly reason?: unknown
}

/** How long work may be watched and called off. */
export interface TurnOptions {
  /** Calls the work off between two steps; nothing of it is kept. */
  readonly signal?: CancelSignal
  /** Told the part that is done, 0–1, never falling. */
  readonly onProgress?: (done: number) => void
  /** Lets others have a turn between two steps; default one turn of the event loop. */
  readonly pause?: () => Promise<void>
}

/**
 * Step by step, with a turn of the event loop between them, so that a page stays awake and a signal is heard.
 *
 * Laws    the result is that of `finish`, bit for bit; called off and begun again it is the same.
 * Throws  the signal's reason, once it is aborted.
 */
export async function inTurns<T>(steps: Steps<T>, { signal, onProgress, pause = turn }: TurnOptions = {}): Promise<T> {
  let most = 0
  try {
    for (;;) {
      if (signal?.aborted) throw signal.reason
      const step = steps.next()
      if (step.done) {
        onProgress?.(1)
        return step.value
      }
      most = Math.max(most, step.value)
      onProgress?.(most)
      await pause()
    }
  } finally {
    steps.return(undefined as never)
  }
}

/** Steps as a part of a longer work: their progress runs from `from` to `to`. */
export function* within<T>(from: number, to: number, steps: Steps<T>): Steps<T> {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
    yield from + (to - from) * step.value
  }
}

/** Cells worked in one step: some milliseconds. */
const CELLS_A_STEP = 1 << 16

/** Does `act` on bands of rows, a step for each; `endRow` is the row after the band's last. */
export function* inBands(rows: number, width: number, act: (firstRow: number, endRow: number) => void): Steps<void> {
  const band = Math.max(1, Math.floor(CELLS_A_STEP / Math.max(1, width)))
  for (let row = 0; row < rows; row += band) {
    act(row, Math.min(row + band, rows))
    yield Math.min(1, (row + band) / rows)
  }
}

interface Port {
  onmessage: (() => void) | null
  postMessage(message: null): void
  close(): void
}

/** One turn of the event loop, by a message: a timer's turn is held back to some milliseconds. */
function turn(): Promise<void> {
  // Node, browsers and workers all have it; the library's own types know none of them.
  const { MessageChannel } = globalThis as unknown as { MessageChannel: new () => { port1: Port; port2: Port } }
  return new Promise(resolve => {
    const { port1, port2 } = new MessageChannel()
    port1.onmessage = () => {
      port1.close()
      resolve()
    }
    port2.postMessage(null)
  })
}
