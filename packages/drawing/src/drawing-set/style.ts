import { FOOT_mm, GUTTER_mm, HEAD_mm, KEY_COLUMN_mm, type Paper, RIM_mm, RING_mm, SMALL_mm, TABLE_mm, TEXT_mm } from './paper.js'

/** Columns of the title block, and the size of its lettering. */
export const BLOCK_COLUMNS = [1.25, 1.25, 1.25, 1, 0.8] as const
export const BLOCK_mm = 2.55

/**
 * The look of a set on its paper: black ink, thin rules, one box of exact size for each page. Nothing is fetched.
 *
 * Laws  all looks stand here, none at an element: the sheet lets this one style in by its hash.
 */
export const setStyle = ({ width_mm, height_mm, columns }: Paper): string => `
@page { size: ${width_mm}mm ${height_mm}mm; margin: 0; }
:root { color-scheme: light; }
* { box-sizing: border-box; }
html, body { margin: 0; padding: 0; }
body { background: #8B8F83; color: #111816; font: ${TEXT_mm}mm/1.34 'Helvetica Neue',Helvetica,Arial,'Liberation Sans','Gill Sans',Cabin,Calibri,sans-serif;
  font-variant-numeric: tabular-nums lining-nums; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
.page { position: relative; width: ${width_mm}mm; height: ${height_mm}mm; margin: 6mm auto; background: #fff; overflow: hidden; break-after: page; break-inside: avoid; }
.page:last-child { break-after: auto; }
.head, .body, .block { position: absolute; left: ${RIM_mm}mm; right: ${RIM_mm}mm; }
.head { top: ${RIM_mm}mm; height: ${HEAD_mm - 3}mm; border-bottom: 0.5mm solid #111816; display: flex; justify-content: space-between; align-items: baseline; }
.head h2 { margin: 0; font-size: 5.2mm; line-height: 1.3; font-weight: 600; }
.head h2 small { font-size: 3mm; font-weight: 400; }
.head span { font-size: 2.8mm; }
.body { top: ${RIM_mm + HEAD_mm}mm; bottom: ${RIM_mm + FOOT_mm + 2}mm; display: grid; grid-template-columns: repeat(${columns}, minmax(0, 1fr)); column-gap: ${GUTTER_mm}mm; align-content: start; overflow: hidden; }
.full, .across { grid-column: 1 / -1; }
.block { bottom: ${RIM_mm}mm; height: ${FOOT_mm}mm; border: 0.4mm solid #111816; display: grid; grid-template-columns: ${BLOCK_COLUMNS.map(part => `minmax(0, ${part}fr)`).join(' ')}; grid-template-rows: 1fr 1fr 0.55fr; font-size: ${BLOCK_mm}mm; line-height: 1.2; }
.block > div { padding: 0.8mm 1.6mm 0; border-right: 0.2mm solid #111816; border-bottom: 0.2mm solid #111816; overflow: hidden; overflow-wrap: anywhere; }
.block > div:nth-child(5n), .block > .count { border-right: 0; }
.block > .wide { grid-column: span 2; }
.block > .trace { grid-column: 1 / -1; border: 0; display: flex; justify-content: space-between; gap: 3mm; align-items: center; padding-top: 0; font-size: 2.2mm; white-space: nowrap; }
.block .label { display: block; font-size: 2mm; color: #3A433F; line-height: 1.15; }
.hash { font-family: 'Liberation Mono',Menlo,Consolas,'DejaVu Sans Mono',monospace; font-size: 1.95mm; }
h3 { margin: 0; padding: 2.6mm 0 1mm; font-size: 3.7mm; line-height: 1.34; font-weight: 600; }
p { margin: 0 0 1.4mm; overflow-wrap: break-word; }
.small { font-size: ${SMALL_mm}mm; }
.strong { font-weight: 600; }
.item { margin: 0 0 1mm; padding-left: 4mm; position: relative; }
.item::before { content: '–'; position: absolute; left: 0.8mm; }
.todo { padding-left: 6mm; }
.todo::before { content: none; }
.todo .tick { position: absolute; left: 0; top: 0.5mm; }
.tick { display: inline-block; width: 3mm; height: 3mm; border: 0.25mm solid #111816; vertical-align: -0.4mm; }
table { border-collapse: collapse; table-layout: fixed; width: 100%; font-size: ${TABLE_mm}mm; margin: 0 0 2mm; }
th { text-align: left; font-weight: 600; vertical-align: bottom; border-bottom: 0.35mm solid #111816; padding: 0.5mm 1.2mm; overflow-wrap: break-word; }
td { vertical-align: top; border-bottom: 0.15mm solid #6B726E; padding: 0.55mm 1.2mm; overflow-wrap: break-word; }
tr.tall td { vertical-align: middle; border-right: 0.1mm solid #A3A8A4; }
th.number, td.number { text-align: right; }
td.number { font-variant-numeric: tabular-nums; }
tr.marked td { font-weight: 600; background: #ECECEC; }
td .mark { vertical-align: -0.5mm; }
.lines td:first-child { color: #111816; }
figure { margin: 0 0 1mm; }
figure svg { display: block; }
figcaption { font-size: ${SMALL_mm}mm; }
.key { display: grid; grid-template-columns: repeat(auto-fill, minmax(${KEY_COLUMN_mm}mm, 1fr)); gap: 0.6mm 2mm; list-style: none; margin: 1.5mm 0 0; padding: 0; font-size: ${SMALL_mm}mm; line-height: 1.25; }
.key li { display: flex; align-items: center; gap: 2mm; min-height: 4.2mm; }
.key svg { flex: none; }
.rule { margin: 1.5mm 0 0.8mm; }
.bar { display: block; }
.card { font-size: 4.2mm; line-height: 1.3; }
.card h3 { font-size: 5.4mm; padding: 4mm 0 1.5mm; }
.card .place { font-size: 7mm; line-height: 1.2; font-weight: 700; margin: 0 0 2mm; }
.card ol { margin: 0; padding-left: 8mm; }
.card ol.never { list-style: none; padding-left: 8mm; }
.card ol.never li { position: relative; }
.card ol.never li::before { content: '✕'; position: absolute; left: -7mm; font-weight: 700; }
.facts { display: grid; grid-template-columns: 1fr 1fr; gap: 0 8mm; margin: 4mm 0 0; font-size: 3.3mm; }
.facts div { display: flex; justify-content: space-between; gap: 4mm; border-bottom: 0.15mm solid #6B726E; padding: 0.8mm 0; }
.facts dd { margin: 0; font-weight: 600; text-align: right; }
.hand { border-bottom: 0.25mm solid #111816; height: 9mm; margin: 0; }
.given { font-weight: 700; font-size: ${RING_mm}mm; line-height: 1.25; margin: 0; overflow-wrap: anywhere; }
.sign { display: grid; grid-template-columns: 2fr 1fr 2fr; gap: 8mm; padding-top: 12mm; }
.sign div { border-top: 0.25mm solid #111816; padding-top: 1mm; font-size: ${SMALL_mm}mm; }
@media print { body { background: none; } .page { margin: 0; } }
`
