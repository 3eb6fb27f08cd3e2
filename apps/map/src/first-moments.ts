/** Something that comes once, and may be waited for. */
interface Moment {
  come(): void
  /** Resolves when it has come; at the latest after some time, for it may never come. Unit: ms. */
  within(most_ms: number): Promise<unknown>
}

function moment(): Moment {
  let come: () => void = () => {}
  const came = new Promise<void>(resolve => {
    come = resolve
  })
  return {
    come: () => come(),
    within: most_ms => Promise.race([came, new Promise(resolve => setTimeout(resolve, most_ms))]),
  }
}

/** The first question to a worker is on its way: making the map, which blocks the page for long, goes on beside its answer. */
export const firstAsked = moment()

/** The first ground stands on the plan. */
export const firstDrawn = moment()
