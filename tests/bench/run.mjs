// Runs the benchmarks and prints each result as one JSON line, after the machine they ran on. Compare only with an earlier run on the same
// machine under the same load. With --keep the lines are kept in tests/bench/results/ under the day's date.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { loadavg } from 'node:os'
import { dragBench } from './drag.mjs'
import { dragInBrowser } from './drag-in-browser.mjs'
import { thisMachine } from './machine.mjs'
import { rangeReadBench } from './range-read.mjs'
import { windowInBrowser } from './window-in-browser.mjs'
import { workInBrowser } from './work-in-browser.mjs'

const lines = []
const tell = record => {
  const line = JSON.stringify(record, (_, value) =>
    typeof value === 'number' && !Number.isInteger(value) ? Number(value.toFixed(2)) : value,
  )
  lines.push(line)
  process.stdout.write(`${line}\n`)
}
const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'))
tell({
  ...thisMachine(),
  soakline: version,
  at: new Date().toISOString(),
})
tell({ bench: 'answer per drag step, library in Node', ...dragBench(500) })
tell({ bench: 'answer per drag step, library in Node', ...dragBench(1000) })
tell({ bench: 'drag in the browser', ...(await dragInBrowser()) })
tell({ bench: 'a window of 1000 × 1000 by range requests, library in Node', ...(await rangeReadBench()) })
tell({ bench: 'a window of 1000 × 1000 by range requests, first ground in the browser', ...(await windowInBrowser()) })
tell({ bench: 'the demo in the browser', ...(await workInBrowser()) })
tell({ loadAfter: loadavg() })

if (process.argv.includes('--keep')) {
  const folder = new URL('./results/', import.meta.url)
  mkdirSync(folder, { recursive: true })
  writeFileSync(new URL(`${new Date().toISOString().slice(0, 10)}.txt`, folder), `${lines.join('\n')}\n`)
}
