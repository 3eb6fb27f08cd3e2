// The README's picture is drawn by the library itself. UPDATE_PICTURE=1 draws it anew.
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { repositoryRoot } from '../helpers/repository.js'
import { demoPicture } from './demo-picture.js'

const PICTURE = join(repositoryRoot, 'packages/soakline/docs/demo.svg')

test('the README’s picture is what is drawn of the demo holding today', async () => {
  const drawn = await demoPicture()
  if (process.env.UPDATE_PICTURE) writeFileSync(PICTURE, drawn)
  expect(drawn === readFileSync(PICTURE, 'utf8'), 'UPDATE_PICTURE=1 npx vitest run tests/package/demo-picture.test.ts draws it anew').toBe(
    true,
  )
})
