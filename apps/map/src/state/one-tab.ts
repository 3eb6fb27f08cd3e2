import type { World } from './world.js'

const NAME = 'soakline-sheet'

/** The tab that works on the sheet holds a lock as long as it is open. Where there are no locks every tab counts as the first, and the store's token tells who writes. */
export const oneTab: World['tab'] = {
  claim: onLost => hold({ ifAvailable: true }, onLost),
  takeOver: async onLost => void (await hold({ steal: true }, onLost)),
}

function hold(how: LockOptions, onLost: () => void): Promise<boolean> {
  if (!('locks' in navigator)) return Promise.resolve(true)
  return new Promise(resolve => {
    let held = false
    navigator.locks
      .request(NAME, how, lock => {
        held = lock !== null
        resolve(held)
        return lock === null ? undefined : new Promise(() => {})
      })
      // Only a lock that was held can be stolen; one that cannot be had at all hinders nobody.
      .catch(() => (held ? onLost() : resolve(true)))
  })
}
