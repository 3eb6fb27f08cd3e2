// What the packages promise to others is kept as text, so that a change of it is a visible diff. UPDATE_API=1 writes the reports anew.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { ENTRIES, publicApi, REPORTS } from './public-api.js'

const apis = ENTRIES.map(entry => ({ path: entry[1], folder: entry[0], ...publicApi(entry) }))
const fileOf = (path: string): string => join(REPORTS, `${path.replace(/^@/, '').replaceAll('/', '-')}.api.md`)
if (process.env.UPDATE_API) {
  mkdirSync(REPORTS, { recursive: true })
  for (const { path, report } of apis) writeFileSync(fileOf(path), report)
}

test.each(apis)('$path exports what its kept report says', ({ path, report }) => {
  expect(report, 'UPDATE_API=1 npx vitest run tests/package/api-report.test.ts writes the report anew').toBe(
    readFileSync(fileOf(path), 'utf8'),
  )
})

test.each(apis)('$path: whatever its declarations name can be imported from somewhere', ({ used, folder }) => {
  const anywhere = new Set(apis.filter(api => api.folder === 'soakline' || api.folder === folder).flatMap(api => api.exported))
  expect(used.filter(name => !anywhere.has(name))).toEqual([])
})

test.each(apis)('$path: every export has a doc comment', ({ undocumented }) => expect(undocumented).toEqual([]))
