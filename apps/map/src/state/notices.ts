import { signal } from '@preact/signals'

/** Something that the page tells in a sentence. */
export type Notice =
  | 'restored'
  | 'no-storage'
  | 'save-failed'
  | 'file-lost'
  | 'second-tab'
  | 'taken-over'
  | 'newer-store'
  | 'new-version'
  | 'older-tab'
  | 'restored-in-part'
  | 'ground-not-kept'
  | 'only-here'
  | 'ground-missing'
  | 'other-ground'
  | 'worker-died'
  | 'no-webgl'
  | 'context-lost'
  | 'restore-failed'

/** What the page tells just now, each once, in the order in which it came up. */
export function createNotices() {
  const notices = signal<readonly Notice[]>([])
  return {
    notices,
    tell(notice: Notice): void {
      if (!notices.value.includes(notice)) notices.value = [...notices.value, notice]
    },
    silence(...told: readonly Notice[]): void {
      notices.value = notices.value.filter(n => !told.includes(n))
    },
  }
}

export type Notices = ReturnType<typeof createNotices>
