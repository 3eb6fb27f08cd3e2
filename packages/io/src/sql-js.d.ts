declare module 'sql.js/dist/sql-wasm-inline.js' {
  const start: () => Promise<import('./sqlite.js').Sqlite>

  export { start as default }
}
