import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from 'playwright-core'

/** What axe-core finds against a page, or a part of it, in short. */
export async function axeFindings(page: Page, where: string, alone: string | null = null): Promise<string[]> {
  const axe = new AxeBuilder({ page })
  if (alone !== null) axe.include(alone)
  const { violations } = await axe.analyze()
  return violations.flatMap(v =>
    v.nodes.map(node => `${where}: ${v.id} ${node.target.join(' ')} ${node.failureSummary?.split('\n')[1]?.trim() ?? ''}`),
  )
}
