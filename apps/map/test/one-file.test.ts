import { signal } from '@preact/signals'
import { expect, test } from 'vitest'
import { createOneFile, type FileAtHand, fileChooser } from '../src/state/one-file.js'
import type { Sheet } from '../src/state/sheet.js'

// The plan is saved into one chosen file, and never into that of another plan.

function desk() {
  const [plan, workNumber] = [signal({ at: 0 }), signal(1)]
  const told: string[] = []
  let inFile: unknown = null
  const sheet = {
    plan,
    workNumber,
    planText: () => `plan ${plan.value.at}`,
    tell: (notice: string) => void told.push(notice),
    markInFile: () => {
      inFile = plan.value
    },
  } as unknown as Sheet
  const written: string[] = []
  let broken = false
  const file: FileAtHand = {
    name: 'hill.soakline.json',
    async write(text) {
      if (broken) throw new DOMException('gone', 'NotFoundError')
      written.push(text)
    },
  }
  return {
    ...{ sheet, plan, workNumber, told, written, file },
    isInFile: () => inFile === plan.value,
    breakIt: () => {
      broken = true
    },
  }
}

test('chosen once, every saving writes into the same file, and the plan is told to stand in it', async () => {
  const { sheet, plan, written, file, isInFile } = desk()
  const one = createOneFile(sheet, async () => file)
  expect(await one.save()).toBe(false)
  expect(await one.choose('hill.soakline.json')).toBe(true)
  plan.value = { at: 1 }
  expect(isInFile()).toBe(false)
  expect(await one.save()).toBe(true)
  expect(written).toEqual(['plan 0', 'plan 1'])
  expect(isInFile()).toBe(true)
})

test('a change made while the file is written is not told to stand in it', async () => {
  const { sheet, plan, file, isInFile } = desk()
  const one = createOneFile(sheet, async () => file)
  await one.choose('x')
  const saving = one.save()
  plan.value = { at: 2 }
  await saving
  expect(isInFile()).toBe(false)
})

test('with another work on the sheet the file is let go, also while it is being chosen', async () => {
  const { sheet, workNumber, written, file } = desk()
  const one = createOneFile(sheet, async () => file)
  await one.choose('x')
  workNumber.value++
  expect(one.file.value).toBeNull()
  expect(await one.save()).toBe(false)
  const late = createOneFile(sheet, async () => {
    workNumber.value++
    return file
  })
  expect(await late.choose('x')).toBe(false)
  expect(written).toHaveLength(1)
})

test('a file that can no longer be written is given up, and that is told', async () => {
  const { sheet, told, file, breakIt, isInFile, plan } = desk()
  const one = createOneFile(sheet, async () => file)
  await one.choose('x')
  plan.value = { at: 3 }
  breakIt()
  expect(await one.save()).toBe(false)
  expect(one.file.value).toBeNull()
  expect(told).toEqual(['file-lost'])
  expect(isInFile()).toBe(false)
})

test('the browser’s own window is used where there is one; closed without a choice it is no fault', async () => {
  expect(fileChooser({})).toBeNull()
  const steps: string[] = []
  const choose = fileChooser({
    showSaveFilePicker: async options => {
      steps.push((options as { suggestedName: string }).suggestedName)
      return {
        name: 'kept.json',
        createWritable: async () => ({ write: async text => void steps.push(text), close: async () => void steps.push('closed') }),
      }
    },
  })!
  const file = (await choose('hill.soakline.json'))!
  await file.write('text')
  expect([file.name, ...steps]).toEqual(['kept.json', 'hill.soakline.json', 'text', 'closed'])
  const closed = fileChooser({ showSaveFilePicker: () => Promise.reject(new DOMException('', 'AbortError')) })!
  expect(await closed('x')).toBeNull()
})
