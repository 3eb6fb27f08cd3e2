import { deviceWords, fieldWords, LOOK_STATIONS, lookWords, sayFrameMark, sayReadAtStake, sayWay, type Voice } from '@soakline/drawing'
import { defaultSettings, readAtStake, wayToStake } from 'soakline/plan'
import { expect, test } from 'vitest'

const EN: Voice = { language: 'en', units: 'metric' }
const ES_FEET: Voice = { language: 'es', units: 'us' }
/** Some 223 m north of HERE. */
const [HERE, STAKE] = [
  [-32.86, 36.5],
  [-32.86, 36.502],
] as const
const way = (accuracy_m: number | null) => wayToStake({ at: [...HERE], accuracy_m }, [...STAKE], 10, 0.1)

test('a way is said with its distance, wind and bearing, and always with how sure the device is', () => {
  const said = sayWay(way(6), EN)
  expect(said.glance).toBe('222 m north · 0°')
  expect(said.lines.join(' ')).toContain('± 6 m')
  expect(said.lines.join(' ')).toContain('off by about 0.6 m in height')
  const inFeet = sayWay(way(6), ES_FEET)
  expect(inFeet.glance).toBe('728 pies al norte · 0°')
  expect(inFeet.lines.join(' ')).not.toMatch(/\d m\b/)
})

test('where the device is too rough, or does not say, no distance and no bearing is said at all', () => {
  for (const voice of [EN, ES_FEET])
    for (const accuracy_m of [null, 10.1, 2000]) {
      const { glance, lines } = sayWay(way(accuracy_m), voice)
      expect(glance).toBe('')
      expect(lines.join(' ')).not.toMatch(/°|222|728/)
    }
})

test('a reading is said as work to do, in the reader’s units and with his decimal mark', () => {
  const deep = readAtStake('bed', 99.88, 100, 0.4, defaultSettings())
  expect(sayReadAtStake(deep, EN)).toMatchObject({ word: 'Fill', number: '12 cm', line: 'Read 99.88 m, planned 100.00 m.' })
  const high = readAtStake('bed', 100.1, 100, 0.4, defaultSettings())
  expect(sayReadAtStake(high, ES_FEET)).toMatchObject({ word: 'Cavar', number: '3,94 pulg' })
  expect(sayReadAtStake(readAtStake('bed', 100.01, 100, 0.4, defaultSettings()), EN).word).toBe('Good')
})

test('the mark of a falling bed is said, and that of a level one', () => {
  expect(sayFrameMark(0.012, EN)).toContain('1.2 cm')
  expect(sayFrameMark(0, EN)).toContain('on the level mark')
})

test('the guided look has a title and a text for each station in both languages, and takes about two minutes to read', () => {
  for (const language of ['en', 'es'] as const) {
    const { stations } = lookWords({ language })
    const words = LOOK_STATIONS.flatMap(station => `${stations[station].title} ${stations[station].text}`.split(/\s+/))
    // Slow readers take some 130 words a minute (from memory).
    expect(words.length).toBeGreaterThan(180)
    expect(words.length).toBeLessThan(2.2 * 130)
  }
})

test('none of these words calls anything safe, proven or clear', () => {
  const all = (['en', 'es'] as const).flatMap(language => [fieldWords({ language }), lookWords({ language }), deviceWords({ language })])
  const texts = JSON.stringify(all, (_, value: unknown) => (typeof value === 'function' ? String(value) : value))
  expect(texts).not.toMatch(/\b(safe|safely|proven|proves|clear|segur[oa]s?|probad[oa])\b/i)
})
