/** Before so much is done, and so long after the beginning, nothing can be said of the end. Source: judgement. */
const [LEAST_DONE, LEAST_ELAPSED_s] = [0.04, 1.5]

/**
 * How long work will go on if it goes on as it did; null while that cannot be said.
 *
 * Laws   none is left of what is done; twice the time for the same part leaves twice the time.
 */
export const timeLeft_s = (done: number, elapsed_s: number): number | null =>
  done < LEAST_DONE || elapsed_s < LEAST_ELAPSED_s ? null : (elapsed_s * (1 - Math.min(1, done))) / done
