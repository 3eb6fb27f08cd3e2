import { InputError } from 'soakline/foundation'

/** A value of a row. */
export type SqlValue = string | number | Uint8Array | null

/** What is used here of SQLite compiled to WebAssembly (sql.js 1.17.0, MIT). */
export interface Sqlite {
  readonly Database: new (file?: Uint8Array) => Database
}

/** An open database. */
export interface Database {
  run(sql: string, values?: readonly SqlValue[]): unknown
  prepare(sql: string, values?: readonly SqlValue[]): Statement
  export(): Uint8Array
  close(): void
}

/** A prepared statement; `step` is false after the last row. */
export interface Statement {
  step(): boolean
  get(): SqlValue[]
  free(): boolean
}

/** The largest database that is opened: it is held twice while it is read. Judgement. */
const MAX_BYTES = 256e6
/** The most that the database engine may take beside the file. Judgement. */
const MAX_HEAP_BYTES = 128e6
const MAGIC = 'SQLite format 3\u0000'

/** The engine. It is loaded when it is first asked for: 0.4 MB over the wire. */
export const sqlite = async (): Promise<Sqlite> => (await import('sql.js/dist/sql-wasm-inline.js')).default()

/** True for the first bytes of an SQLite database. */
export const looksLikeSqlite = (bytes: Uint8Array): boolean => [...MAGIC].every((sign, k) => bytes[k] === sign.charCodeAt(0))

/**
 * An SQLite database to read tables from. Nothing of the file is run: no view is read, no trigger fires.
 */
export interface ReadDatabase {
  /** Names of the tables that hold rows of their own; views and virtual tables, whose rows are made by instructions in the file, are not among them. */
  readonly tables: ReadonlySet<string>
  /** Names of the views and virtual tables. */
  readonly made: ReadonlySet<string>
  /** True where the file was left in the mode that keeps its last changes in a second file, which is not here. */
  readonly mayLackChanges: boolean
  /** Names of a table's columns that are stored, in their order. */
  columns(table: string): string[]
  /**
   * Rows of a table, one after another. Throws InputError `geopackage/damaged`.
   *
   * @param most rows that are given; with one more there, InputError `vector/too-large`
   */
  rows(table: string, columns: readonly string[], most: number): Generator<SqlValue[]>
  close(): void
}

/**
 * Opens a database for reading.
 *
 * Limits   256 MB of file, 128 MB of working memory, one row at a time; whoever asks says how many rows.
 * Throws   InputError `geopackage/truncated`, `geopackage/damaged`, `vector/too-large`.
 * Source   SQLite file format (sqlite.org/fileformat2.html, section 1.3): page size, pages, version numbers; from memory.
 */
export async function openDatabase(file: Uint8Array): Promise<ReadDatabase> {
  if (file.length > MAX_BYTES)
    throw new InputError(
      'vector/too-large',
      `The file has ${file.length} bytes, more than ${MAX_BYTES}. Export what lies on the holding alone.`,
      { bytes: file.length },
    )
  refuseCut(file)
  const mayLackChanges = file[18] === 2 || file[19] === 2
  let bytes = file
  if (mayLackChanges) {
    bytes = file.slice()
    bytes.fill(1, 18, 20)
  }
  const { Database } = await sqlite()
  const database = guarded(() => new Database(bytes))
  const every = (sql: string): SqlValue[][] => [...stepping(database, sql)]
  try {
    guarded(() =>
      database.run(
        `PRAGMA hard_heap_limit = ${MAX_HEAP_BYTES}; PRAGMA trusted_schema = OFF; PRAGMA query_only = ON; PRAGMA cell_size_check = ON`,
      ),
    )
    const listed = every("SELECT name, type, substr(sql, 1, 40) FROM sqlite_schema WHERE type IN ('table', 'view') LIMIT 4096").flatMap(
      ([name, type, sql]) =>
        typeof name === 'string'
          ? [{ name, made: type !== 'table' || /^\s*CREATE\s+VIRTUAL/i.test(typeof sql === 'string' ? sql : 'CREATE VIRTUAL') }]
          : [],
    )
    const named = (made: boolean): Set<string> => new Set(listed.filter(one => one.made === made).map(({ name }) => name))
    return {
      tables: named(false),
      made: named(true),
      mayLackChanges,
      columns: table =>
        // The last number tells columns that are worked out from others by instructions in the file (2 and 3) and hidden ones (1).
        every(`PRAGMA table_xinfo(${quoted(table)})`).flatMap(row => (typeof row[1] === 'string' && row[6] === 0 ? [row[1]] : [])),
      *rows(table, columns, most) {
        let count = 0
        for (const row of stepping(database, `SELECT ${columns.map(quoted).join(', ')} FROM ${quoted(table)}`)) {
          if (++count > most)
            throw new InputError(
              'vector/too-large',
              `The table "${table.slice(0, 60)}" has more than ${most} rows. Keep what lies on the holding.`,
              { rows: most },
            )
          yield row
        }
      },
      close: () => database.close(),
    }
  } catch (error) {
    database.close()
    throw error
  }
}

/** Refuses a file that is shorter than its head says. */
function refuseCut(file: Uint8Array): void {
  if (file.length < 100)
    throw new InputError('geopackage/truncated', 'The GeoPackage ends within its head. Fetch or export it again.', {
      bytes: file.length,
      needed: 512,
    })
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength)
  const size = view.getUint16(16)
  const page = size === 1 ? 65_536 : size
  // The number of pages only counts where the two versions agree; older programs left it alone.
  const needed = view.getUint32(24) === view.getUint32(92) ? page * view.getUint32(28) : 0
  if (needed > file.length)
    throw new InputError(
      'geopackage/truncated',
      `The GeoPackage stops too early: it promises ${needed} bytes and has ${file.length} (${Math.floor((100 * file.length) / needed)} %). Fetch or export it again.`,
      { bytes: file.length, needed },
    )
}

function* stepping(database: Database, sql: string): Generator<SqlValue[]> {
  const statement = guarded(() => database.prepare(sql))
  try {
    while (guarded(() => statement.step())) yield guarded(() => statement.get())
  } finally {
    guarded(() => statement.free())
  }
}

/** A step of the engine; whatever it throws is told as one refusal. */
function guarded<T>(step: () => T): T {
  try {
    return step()
  } catch (error) {
    const what = error instanceof Error ? error.message.slice(0, 120) : 'unreadable'
    throw new InputError('geopackage/damaged', `The GeoPackage cannot be read as a database (${what}). Fetch or export it again.`, { what })
  }
}

/** A name as SQL has it. */
const quoted = (name: string): string => `"${name.replaceAll('"', '""').replaceAll('\u0000', '')}"`
