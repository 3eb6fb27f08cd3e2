// The little of WebAssembly that is used here. The library's own types know neither the DOM nor Node.

/** A compiled module: opaque, and may be sent to another worker. */
export type CompiledModule = object

/** Memory that kernels work in: their own, or shared between workers. */
export interface KernelMemory {
  readonly buffer: ArrayBufferLike
  grow(pages: number): number
}

/** A kernel: works on some rows of a member's strip. One of them gives back the row at which to go on. */
export type Kernel = (member: number, firstRow: number, endRow: number) => number | undefined

interface Engine {
  compile(bytes: Uint8Array): Promise<CompiledModule>
  readonly Memory: new (limits: { initial: number; maximum?: number; shared?: boolean }) => KernelMemory
  readonly Instance: new (
    module: CompiledModule,
    imports: { env: { memory: KernelMemory } },
  ) => { readonly exports: Readonly<Record<string, Kernel>> }
}

/** Null where there is none. */
export const engine = (): Engine | null => (globalThis as unknown as { WebAssembly?: Engine }).WebAssembly ?? null

/** Bytes of a base64 text. */
export function fromBase64(text: string): Uint8Array {
  const { atob } = globalThis as unknown as { atob(text: string): string }
  return Uint8Array.from(atob(text), c => c.charCodeAt(0))
}

/** Memory grows by pages of this size. Source: WebAssembly Core Specification. */
export const PAGE_BYTES = 65536
/** All that 32-bit addresses reach: 4 GiB. */
export const MOST_PAGES = 65536
