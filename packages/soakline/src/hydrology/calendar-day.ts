import { InputError } from '../foundation/index.js'

/** A day as a number: 1970-01-01 is 0. */
export type DayNumber = number

/**
 * Number of a day of the Gregorian calendar.
 *
 * Laws    the day after has the next number; `dateOfDay` gives the date back.
 * Throws  `rain/bad-date` for a day that the calendar has not, or a year outside 1–9999.
 * Source  whole numbers: days of 400-, 100-, 4- and 1-year cycles from 1 March on, derived.
 */
export function dayNumber(year: number, month: number, day: number): DayNumber {
  const days = [31, isLeap(year) ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1]
  if (!(Number.isInteger(year) && year >= 1 && year <= 9999 && days !== undefined && Number.isInteger(day) && day >= 1 && day <= days))
    throw new InputError('rain/bad-date', `The calendar has no day ${year}-${month}-${day}; mend the date.`, { year, month, day })
  // From 1 March on, so that the leap day is the last of its year.
  const y = month > 2 ? year : year - 1
  const fromMarch = (month + 9) % 12
  return 365 * y + Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400) + Math.floor((153 * fromMarch + 2) / 5) + day - 1 - 719468
}

/** Date of a day, `YYYY-MM-DD`. */
export function dateOfDay(number: DayNumber): string {
  let year = 1970 + Math.floor(number / 365.2425)
  while (dayNumber(year, 1, 1) > number) year--
  while (year < 9999 && dayNumber(year + 1, 1, 1) <= number) year++
  let month = 12
  while (dayNumber(year, month, 1) > number) month--
  const two = (n: number): string => String(n).padStart(2, '0')
  return `${String(year).padStart(4, '0')}-${two(month)}-${two(number - dayNumber(year, month, 1) + 1)}`
}

/** Number of a date written `YYYY-MM-DD`. Throws `rain/bad-date`. */
export function dayOfDate(date: string): DayNumber {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(date)
  if (!parts)
    throw new InputError('rain/bad-date', `"${date.slice(0, 40)}" is no date; write year-month-day, as 2024-02-29.`, {
      date: date.slice(0, 40),
    })
  return dayNumber(Number(parts[1]), Number(parts[2]), Number(parts[3]))
}

/** Year of a day. */
export const yearOfDay = (number: DayNumber): number => Number(dateOfDay(number).slice(0, 4))

const isLeap = (year: number): boolean => year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
