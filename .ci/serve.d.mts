/** Serves the built sheet; `port` 0 takes any free one, `root` gives the folder of each request. Default: 8420 or the next free one, on this machine alone. */
export function serve(options?: {
  readonly port?: number
  readonly host?: string
  readonly root?: () => string
}): Promise<{ readonly url: string; close(): Promise<void> }>
