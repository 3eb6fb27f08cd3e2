import { inflateSync } from 'node:zlib'

/** A stroked path on a page of a PDF. Units: points of 1/72 inch, y upward. */
export interface PdfPath {
  /** Corners of each of its pieces; curves by their end points. */
  readonly pieces: readonly (readonly (readonly [number, number])[])[]
  /** Red, green and blue from 0 to 1. */
  readonly ink: readonly [number, number, number]
}

export interface PdfPage {
  readonly width: number
  readonly height: number
  readonly paths: readonly PdfPath[]
}

type Matrix = readonly [number, number, number, number, number, number]
const times = (m: Matrix, n: Matrix): Matrix => [
  m[0] * n[0] + m[1] * n[2],
  m[0] * n[1] + m[1] * n[3],
  m[2] * n[0] + m[3] * n[2],
  m[2] * n[1] + m[3] * n[3],
  m[4] * n[0] + m[5] * n[2] + n[4],
  m[4] * n[1] + m[5] * n[3] + n[5],
]

/** The pages of a PDF as Chromium writes it (plain objects, deflated streams), with what is stroked on each. Source: ISO 32000-1, 7.3, 8.2–8.5. */
export function pdfPages(bytes: Uint8Array): PdfPage[] {
  const text = Buffer.from(bytes).toString('latin1')
  const objects = new Map<string, { readonly head: string; readonly stream: string | null }>()
  for (const match of text.matchAll(/(?:^|\n)(\d+) 0 obj\n([\s\S]*?)endobj/g)) {
    const body = match[2]!
    const at = body.indexOf('stream\n')
    const head = at < 0 ? body : body.slice(0, at)
    const length = Number(/\/Length (\d+)(?! \d+ R)/.exec(head)?.[1] ?? 0)
    const start = match.index + match[0].indexOf(body) + at + 'stream\n'.length
    const raw = at < 0 ? null : bytes.subarray(start, start + length)
    objects.set(match[1]!, {
      head,
      stream: raw === null || length === 0 ? null : /\/FlateDecode/.test(head) ? inflated(raw) : Buffer.from(raw).toString('latin1'),
    })
  }
  return [...objects.values()]
    .filter(({ head }) => /\/Type \/Page\b/.test(head))
    .map(({ head }) => {
      const box = /\/MediaBox \[([^\]]*)\]/.exec(head)![1]!.trim().split(/\s+/).map(Number)
      const content = /\/Contents (\d+) 0 R/.exec(head)?.[1]
      return { width: box[2]!, height: box[3]!, paths: strokes(objects.get(content ?? '')?.stream ?? '') }
    })
}

function inflated(raw: Uint8Array): string | null {
  try {
    return inflateSync(raw).toString('latin1')
  } catch {
    return null
  }
}

const TOKEN = /\((?:\\.|[^\\()])*\)|<<|>>|<[0-9A-Fa-f\s]*>|[[\]]|\/[^\s/<>[\]()]+|[-+]?(?:\d+\.?\d*|\.\d+)|[A-Za-z'"*]+/g

function strokes(content: string): PdfPath[] {
  const paths: PdfPath[] = []
  const kept: { matrix: Matrix; ink: PdfPath['ink'] }[] = []
  let matrix: Matrix = [1, 0, 0, 1, 0, 0]
  let ink: PdfPath['ink'] = [0, 0, 0]
  let pieces: [number, number][][] = []
  let numbers: number[] = []
  const place = (x: number, y: number): [number, number] => [
    x * matrix[0] + y * matrix[2] + matrix[4],
    x * matrix[1] + y * matrix[3] + matrix[5],
  ]
  const last = (k: number): number => numbers[numbers.length - k]!
  for (const [token] of content.matchAll(TOKEN)) {
    if (/^[-+.\d]/.test(token)) {
      numbers.push(Number(token))
      continue
    }
    if (token === 'q') kept.push({ matrix, ink })
    else if (token === 'Q') ({ matrix, ink } = kept.pop() ?? { matrix, ink })
    else if (token === 'cm') matrix = times(numbers.slice(-6) as unknown as Matrix, matrix)
    else if (token === 'RG') ink = numbers.slice(-3) as unknown as PdfPath['ink']
    else if (token === 'm') pieces.push([place(last(2), last(1))])
    else if (token === 'l' || token === 'c' || token === 'v' || token === 'y') pieces[pieces.length - 1]?.push(place(last(2), last(1)))
    else if (token === 'h' && pieces.length > 0) pieces[pieces.length - 1]!.push(pieces[pieces.length - 1]![0]!)
    else if (['S', 's', 'B', 'b', 'f', 'F', 'n', 'f*', 'B*'].includes(token)) {
      if (token === 'S' || token === 's') paths.push({ pieces, ink })
      pieces = []
    }
    if (!/^[/([<>\]]/.test(token)) numbers = []
  }
  return paths
}

/** Length of a piece in millimetres. */
export const length_mm = (piece: readonly (readonly [number, number])[]): number =>
  (piece.slice(1).reduce((sum, [x, y], k) => sum + Math.hypot(x - piece[k]![0], y - piece[k]![1]), 0) * 25.4) / 72
