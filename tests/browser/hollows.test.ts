import { sheetWords } from '@soakline/drawing'
import { expect, test } from 'vitest'
import { answers, houseForTests, openSheet, PATIENCE_MS, planText } from '../helpers/open-sheet.js'

// Hollows on the demo holding: what the steward says of them goes into the plan and into the answers, and can be taken back.

const house = houseForTests()

test(
  'a hollow is kept, taken back, and drained by a pipe drawn under its bank',
  async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    const words = sheetWords({ language: 'en' })
    await page.getByRole('tab', { name: words.leaf.ground }).click()
    const list = page.locator('.hollow-list')
    await list.locator('summary').click()
    const first = list.locator('li').first()
    expect(await first.textContent()).toContain(words.ground.hollowGuess.embankment)
    const choice = (treatment: 'fill' | 'carve' | 'keep') => first.getByRole('radio', { name: words.ground.hollowTreatment[treatment] })

    await choice('keep').click()
    await expect.poll(() => choice('keep').isChecked(), { timeout: PATIENCE_MS }).toBe(true)
    expect(JSON.parse(await planText(page)) as unknown).toMatchObject({ hollows: [{ treatment: 'keep' }] })
    await page.keyboard.press('Control+z')
    await expect.poll(() => choice('fill').isChecked(), { timeout: PATIENCE_MS }).toBe(true)

    await choice('carve').click()
    await expect.poll(() => choice('carve').isChecked(), { timeout: PATIENCE_MS }).toBe(true)
    await page.keyboard.press('Control+z')
    await first.getByRole('button', { name: words.ground.culvertDraw }).click()
    await expect.poll(() => list.getByRole('button', { name: words.ground.culvertDraw }).count(), { timeout: PATIENCE_MS }).toBe(0)
    const plan = JSON.parse(await planText(page)) as { features: { kind: string }[] }
    expect(plan.features.filter(f => f.kind === 'culvert')).toHaveLength(1)
    expect((await answers(page)).length).toBeGreaterThan(5)
    await sheet.calm()
  },
  4 * PATIENCE_MS,
)
