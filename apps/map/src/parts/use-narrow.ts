import { useEffect, useState } from 'preact/hooks'

/** As in the styles: below this the page is one column. */
const NARROW = '(max-width: 860px)'

/** True on a narrow page, where the sections stand inside their answer instead of along the foot. */
export function useNarrow(): boolean {
  const [narrow, setNarrow] = useState(() => matchMedia(NARROW).matches)
  useEffect(() => {
    const query = matchMedia(NARROW)
    const tell = (): void => setNarrow(query.matches)
    query.addEventListener('change', tell)
    return () => query.removeEventListener('change', tell)
  }, [])
  return narrow
}
