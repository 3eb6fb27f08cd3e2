import { sheetWords, verdictMark } from '@soakline/drawing'
import { expect, test } from 'vitest'
import { drawingText, ownAddress } from '../src/trusted-types.js'

test('drawings are read as markup; what acts is not, however it is written', () => {
  const mark = verdictMark('holds', sheetWords({ language: 'en' }).plan, 18)
  expect(drawingText(mark)).toBe(mark)
  // Letters that only look like it are escaped text.
  const named = '<svg><text>&lt;img onerror=alert(1)&gt; and javascript: too</text></svg>'
  expect(drawingText(named)).toBe(named)
  for (const hostile of [
    '<img src=x onerror=alert(1)>',
    '<svg><script>alert(1)</script></svg>',
    '<svg onload="alert(1)"></svg>',
    '<svg><g\nONCLICK = "alert(1)"/></svg>',
    '<svg><a href="javascript:alert(1)"/></svg>',
    '<svg><foreignObject><b/></foreignObject></svg>',
    ' <svg></svg>',
  ])
    expect(() => drawingText(hostile), hostile).toThrow(TypeError)
})

test('only files of the page run as code', () => {
  const page = 'https://example.org/sheet/'
  for (const own of ['./offline.js', 'assets/worker.js', 'https://example.org/sheet/assets/a.js']) expect(ownAddress(own, page)).toBe(own)
  for (const other of [
    '../other.js',
    'https://example.com/sheet/a.js',
    'data:text/javascript,1',
    'blob:https://example.org/1',
    'javascript:1',
    '//example.com/a.js',
  ])
    expect(() => ownAddress(other, page), other).toThrow(TypeError)
})
