/** How many cases a property is tried with: the environment's SOAKLINE_CASES where it is set (the long check sets it), else `usual`. */
export function cases(usual = 100): number {
  const asked = process.env.SOAKLINE_CASES
  if (asked === undefined || asked === '') return usual
  const count = Number(asked)
  if (!Number.isInteger(count) || count < 1) throw new Error(`SOAKLINE_CASES is "${asked}": give a whole number of cases, 1 or more.`)
  return count
}
