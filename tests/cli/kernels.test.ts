import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, expect, test } from 'vitest'
import { soakline } from '../helpers/command-line.js'
import { demoFile } from '../helpers/open-sheet.js'

const asked = process.env.SOAKLINE_KERNELS
afterEach(() => {
  if (asked === undefined) delete process.env.SOAKLINE_KERNELS
  else process.env.SOAKLINE_KERNELS = asked
})

test('every file of "terrain" is the same to the byte, by the compiled kernels and without', async () => {
  const files = async (kernels: string): Promise<Record<string, string>> => {
    process.env.SOAKLINE_KERNELS = kernels
    const { code, folder } = await soakline('terrain', demoFile('ground.tif'))
    expect(code).toBe(0)
    return Object.fromEntries(readdirSync(folder).map(name => [name, readFileSync(join(folder, name)).toString('base64')]))
  }
  const plain = await files('0')
  expect(Object.keys(plain).length).toBeGreaterThan(5)
  expect(await files('1')).toEqual(plain)
})
