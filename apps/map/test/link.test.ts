import { expect, test } from 'vitest'
import { groundTag, partsOf, placeAt, readLink, writtenLink } from '../src/state/link.js'

const SHA = '1a2b3c4d5e6f'.padEnd(64, '0')
const link = { ground: groundTag(false, SHA), view: { across: 0.41321, down: 0.55204, zoom: 17.25 }, question: 'ridge' } as const

test('a link is read as it was written; of the ground it tells eight signs of a checksum, of its place nothing', () => {
  expect(readLink(writtenLink(link))).toEqual(link)
  expect(writtenLink(link)).toBe('#g-1a2b3c4d/0.41321/0.55204/17.25/ridge')
  expect(readLink('#demo')).toEqual({ ground: 'demo', view: null, question: null })
  expect(readLink(writtenLink({ ground: 'demo', view: null, question: 'spill' }))).toEqual({
    ground: 'demo',
    view: null,
    question: 'spill',
  })
})

test('an address that is not ours is none; a view or a question that cannot be read is left out', () => {
  for (const other of ['', '#', '#margin', '#g-xyz', '#demo2/0.5/0.5/16', '#17/36.5/-32.8']) expect(readLink(other)).toBeNull()
  for (const bad of ['#demo/0.5/0.5/', '#demo/7/0.5/16', '#demo/0.5/x/16', '#demo/0.5/0.5/99', '#demo/Infinity/0/3'])
    expect(readLink(bad)).toEqual({ ground: 'demo', view: null, question: null })
  expect(readLink('#demo/0.5/0.5/16/<b>')?.question).toBeNull()
})

test('a place and its parts of the ground are one', () => {
  const bounds = [-32.87, 36.5, -32.86, 36.51] as const
  const [lon, lat] = placeAt(partsOf([-32.8634, 36.5071], bounds), bounds)
  expect(lon).toBeCloseTo(-32.8634, 12)
  expect(lat).toBeCloseTo(36.5071, 12)
  expect(partsOf([-32.87, 36.51], bounds)).toEqual({ across: 0, down: 0 })
})
