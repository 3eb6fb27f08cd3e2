import { InputError } from 'soakline/foundation'

/** A value of a table's cell. */
export type TableValue = string | number | boolean | null

/** The rows of a table of attributes; a row that is marked as deleted is null. */
export type TableRow = ReadonlyMap<string, TableValue> | null

const MAX_FIELDS = 255

/**
 * Attributes of the shapes of a shapefile, in their order.
 *
 * Laws    As many rows as the file holds whole, however many it promises; names of columns are text.
 * Throws  InputError `shapefile/table`.
 * Source  dBASE III table structure, as the ESRI Shapefile Technical Description (1998) refers to it; from memory.
 *
 * @param encoding words of the `.cpg` file; without them UTF-8 where the bytes are that, else Windows-1252, which hurts accents and nothing else
 */
export function readDbaseTable(bytes: Uint8Array, encoding: string | null): TableRow[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (bytes.length < 33) throw broken('it is too short')
  const [promised, head, length] = [view.getUint32(4, true), view.getUint16(8, true), view.getUint16(10, true)]
  const decode = decoderOf(encoding)
  interface Field {
    readonly name: string
    readonly kind: string
    readonly from: number
    readonly to: number
  }
  const fields: Field[] = []
  let [at, from] = [32, 1]
  while (at + 32 <= bytes.length && bytes[at] !== 0x0d) {
    if (fields.length >= MAX_FIELDS) throw broken('it has too many columns')
    const nameBytes = bytes.subarray(at, at + 11)
    const ends = nameBytes.indexOf(0)
    const size = bytes[at + 16]!
    fields.push({
      name: decode(ends < 0 ? nameBytes : nameBytes.subarray(0, ends)),
      kind: String.fromCharCode(bytes[at + 11]!),
      from,
      to: from + size,
    })
    from += size
    at += 32
  }
  if (bytes[at] !== 0x0d || head <= at || from > length || length < 1) throw broken('its columns do not fit into its rows')
  const rows: TableRow[] = []
  const whole = Math.min(promised, Math.floor((bytes.length - head) / length))
  for (let k = 0; k < whole; k++) {
    const row = bytes.subarray(head + k * length, head + (k + 1) * length)
    rows.push(
      row[0] === 0x2a
        ? null
        : new Map(fields.map(field => [field.name, cellValue(decode(row.subarray(field.from, field.to)), field.kind)])),
    )
  }
  return rows
}

function cellValue(written: string, kind: string): TableValue {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: padding of the format
  const text = written.replace(/[\u0000\s]+$/, '').replace(/^\s+/, '')
  if (text === '') return null
  if (kind === 'N' || kind === 'F') return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text) ? Number(text) : null
  if (kind === 'L') return /^[ty]$/i.test(text) ? true : /^[fn]$/i.test(text) ? false : null
  return text
}

/** The way from bytes to text that the `.cpg` file names. */
function decoderOf(encoding: string | null): (bytes: Uint8Array) => string {
  const label =
    encoding
      ?.trim()
      .toLowerCase()
      .replace(/^(ansi|cp|windows)[\s_-]*(125\d)$/, 'windows-$2')
      .replace(/^(125\d)$/, 'windows-$1') ?? ''
  if (label !== '') {
    try {
      const named = new TextDecoder(label)
      return bytes => named.decode(bytes)
    } catch {
      // An unknown name is none.
    }
  }
  const [utf8, western] = [new TextDecoder('utf-8', { fatal: true }), new TextDecoder('windows-1252')]
  return bytes => {
    try {
      return utf8.decode(bytes)
    } catch {
      return western.decode(bytes)
    }
  }
}

const broken = (what: string): InputError =>
  new InputError('shapefile/table', `The table of the shapefile (.dbf) cannot be read: ${what}. Export the layer again.`, { what })
