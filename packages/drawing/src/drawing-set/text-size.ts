/** Widths of letters in parts of their size, after the common grotesque, and a little more: faces differ, and a line too long is worse than one too short. */
const NARROW = /[iIjl.,;:'|!’‘]/
const SLIM = /[frt()[\]\-/ \u00a0“”"·]/
const WIDE = /[mwMW%@—√]/
const CAPITAL = /[A-ZÁÉÍÓÚÑ&±≥□]/
const MORE = 1.06

const letterWidth = (letter: string): number =>
  MORE * (NARROW.test(letter) ? 0.26 : SLIM.test(letter) ? 0.34 : WIDE.test(letter) ? 0.86 : CAPITAL.test(letter) ? 0.7 : 0.556)

/** Width of a line of writing of a size. Units: those of the size. */
export function writtenWidth(text: string, size: number): number {
  let width = 0
  for (const letter of text) width += letterWidth(letter)
  return width * size
}

/** Lines that a text takes in a width, broken between words as a browser breaks them, and within a word that is wider than the line. */
export function linesIn(text: string, size: number, width: number): number {
  if (text.trim() === '' || !(width > 0)) return 1
  const space = writtenWidth(' ', size)
  let lines = 1
  let used = 0
  for (const word of text.trim().split(/[ \n]+/)) {
    const long = writtenWidth(word, size)
    const next = used === 0 ? long : used + space + long
    if (next <= width) {
      used = next
      continue
    }
    if (used > 0) lines++
    lines += Math.max(0, Math.ceil(long / width) - 1)
    used = long > width ? long % width : long
  }
  return lines
}

/** The text, or as much of it as stands in so many lines, with an ellipsis for the rest. */
export function fitted(text: string, size: number, width: number, lines: number): string {
  if (linesIn(text, size, width) <= lines) return text
  const letters = [...text]
  while (letters.length > 0 && linesIn(`${letters.join('')}…`, size, width) > lines) letters.pop()
  return `${letters.join('')}…`
}
