import { writeFileSync } from 'node:fs'
import { planSvg, reportHtml, summaryText } from '@soakline/drawing'
import { test } from 'vitest'
import { EN, ES_US, hillside } from './hillside.js'
test('look', () => {
  writeFileSync('/tmp/report-en.html', reportHtml(hillside(), EN))
  writeFileSync('/tmp/report-es.html', reportHtml(hillside({ cut: true }), ES_US))
  writeFileSync('/tmp/plan-night.svg', planSvg({ ...hillside(), night: true }, EN, { width: 900, height: 800 }))
  console.log(summaryText(hillside().assessment, EN).join('\n'))
  console.log(summaryText(hillside({cut:true}).assessment, ES_US).join('\n'))
})
