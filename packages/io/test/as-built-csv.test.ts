import { readAsBuilt } from '@soakline/io'
import { expect, test } from 'vitest'
import { refusal } from './refusal.js'

test('a column for each thing, empty where nothing was read', () => {
  expect(readAsBuilt('chainage_m,bed_m,crest_m,sill_m\n0,99.6,,99.9\n5,99.61,100.2,\n')).toEqual([
    { what: 'bed', chainage_m: 0, level_m: 99.6, row: 2 },
    { what: 'sill', chainage_m: 0, level_m: 99.9, row: 2 },
    { what: 'bed', chainage_m: 5, level_m: 99.61, row: 3 },
    { what: 'crest', chainage_m: 5, level_m: 100.2, row: 3 },
  ])
})

test('a reading a row; semicolons with decimal commas, Spanish headers, comments, byte-order mark', () => {
  expect(readAsBuilt('\uFEFF# nivel láser\r\nwhat;distancia_m;nivel_m\r\ncresta;5,5;100,21\r\n"vertedero";0;99,9\r\n')).toEqual([
    { what: 'crest', chainage_m: 5.5, level_m: 100.21, row: 3 },
    { what: 'sill', chainage_m: 0, level_m: 99.9, row: 4 },
  ])
})

test('feet are converted exactly, international and survey feet apart', () => {
  const [foot] = readAsBuilt('chainage_ft,bed_ft\n100,1000\n')
  expect([foot!.chainage_m, foot!.level_m]).toEqual([30.48, 304.8])
  const [survey] = readAsBuilt('chainage_m,bed_ftus\n1,3937\n')
  expect(survey!.level_m).toBeCloseTo(1200, 9)
})

test('stakes stand for distances where the stakes are known', () => {
  const stakes = [
    { number: 1, chainage_m: 0 },
    { number: 2, chainage_m: 4.5 },
  ]
  expect(readAsBuilt('stake\tbed_m\n2\t99.6\n', { stakes })[0]!.chainage_m).toBe(4.5)
})

test.each([
  ['', 'as-built/empty'],
  ['chainage_m,bed_m\n', 'as-built/empty'],
  ['chainage_m,bed_m\n5,\n', 'as-built/empty'],
  ['chainage_m,height\n5,1\n', 'as-built/header'],
  ['bed_m,crest_m\n5,1\n', 'as-built/header'],
  ['chainage_m,bed_m,bed_m\n5,1,2\n', 'as-built/header'],
  ['chainage_m,stake,bed_m\n5,1,2\n', 'as-built/header'],
  ['what,chainage_m,level_m\nroof,1,2\n', 'as-built/what'],
  ['chainage_m,bed_m\n5,=1+1\n', 'as-built/number'],
  ['chainage_m,bed_m\n5,99,6\n', 'as-built/number'],
  ['chainage_m,bed_m\nfive,99\n', 'as-built/number'],
  ['chainage_m,bed_m\n5,0x10\n', 'as-built/number'],
  ['stake,bed_m\n9,99\n', 'as-built/unknown-stake'],
  [`chainage_m,bed_m\n${'1,1\n'.repeat(20_001)}`, 'as-built/too-long'],
])('refused: %j', async (text, code) => {
  const { code: found, message } = await refusal(() => readAsBuilt(text))
  expect(found).toBe(code)
  expect(message.length).toBeLessThan(400)
})
