/** Hands a text to the reader as a file. */
export const saveText = (name: string, type: string, text: string): void =>
  saveBlob(name, new Blob([text], { type: `${type};charset=utf-8` }))

/** The same for bytes. */
export function saveBlob(name: string, blob: Blob): void {
  const url = URL.createObjectURL(blob)
  const link = document.createElement('a')
  link.href = url
  link.download = name
  document.body.append(link)
  link.click()
  link.remove()
  // The browser needs the address until the file is on its way.
  setTimeout(() => URL.revokeObjectURL(url), 60_000)
}
