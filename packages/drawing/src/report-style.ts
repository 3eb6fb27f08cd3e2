/** The report's look: ink on paper, thin rules, readable by day and on a grey printer. No outside fonts, nothing fetched. */
export const REPORT_STYLE = `
@page { margin: 15mm; }
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 24px 20px 48px; max-width: 760px; background: #F6F2E9; color: #22302B;
  font: 15px/1.5 'Iowan Old Style','Palatino Linotype',Palatino,Georgia,serif; font-variant-numeric: tabular-nums lining-nums; }
h1, h2, h3, th, .label, .mark-word, .rank { font-family: 'Gill Sans','Gill Sans MT',Cabin,Candara,Calibri,'Trebuchet MS',sans-serif; }
h1 { font-size: 24px; line-height: 1.2; margin: 0; font-weight: 600; }
h2 { font-size: 17px; margin: 34px 0 8px; padding-bottom: 3px; border-bottom: 1.5px solid #22302B; font-weight: 600; break-after: avoid; }
h3 { font-size: 15px; margin: 14px 0 3px; font-weight: 600; break-after: avoid; }
p { margin: 4px 0 8px; }
.title { border: 1.5px solid #22302B; }
.title > div { padding: 10px 14px; }
.title .kind { letter-spacing: 0.06em; font-size: 13px; color: #5A4630; margin: 0 0 2px; }
.title dl { display: grid; grid-template-columns: repeat(6, 1fr); margin: 0; border-top: 1px solid #22302B; }
.title dl > div { padding: 6px 14px 8px; border-top: 1px solid #B9B29F; grid-column: span 6; overflow-wrap: anywhere; }
.title dl > div.half { grid-column: span 3; }
.title dl > div.half + div.half { border-left: 1px solid #B9B29F; }
.title dl > div:first-child, .title dl > div.first { border-top: 0; }
dt.label { font-size: 12px; color: #5A4630; }
dd { margin: 0; }
.limits { font-style: italic; margin: 12px 0 0; }
.answer { display: grid; grid-template-columns: 30px 1fr; padding: 10px 0; border-bottom: 1px solid #CFC8B6; break-inside: avoid; }
.answer h3 { margin: 0; font-size: 16px; }
.answer p { margin: 2px 0 0; }
.answer .mark { margin-top: 3px; }
.mark-word { font-size: 13px; color: #4A5450; font-weight: 400; }
.mark { vertical-align: -2px; }
figure { margin: 10px 0; break-inside: avoid; }
figure svg { display: block; max-width: 100%; height: auto; }
figcaption { font-size: 13px; color: #3F4A45; margin-top: 4px; }
.key { display: flex; flex-wrap: wrap; gap: 4px 22px; list-style: none; padding: 0; margin: 8px 0 0; font-size: 13px; }
.key li { display: flex; align-items: center; gap: 7px; }
.key svg { flex: none; }
table { border-collapse: collapse; width: 100%; font-size: 14px; line-height: 1.42; }
th { text-align: left; font-weight: 600; font-size: 13px; vertical-align: bottom; border-bottom: 1.5px solid #22302B; padding: 4px 12px 4px 0; }
td { vertical-align: top; border-bottom: 1px solid #CFC8B6; padding: 6px 12px 6px 0; overflow-wrap: break-word; }
td:last-child, th:last-child { padding-right: 0; }
tr { break-inside: avoid; }
thead { display: table-header-group; }
td.number, th.number { text-align: right; white-space: nowrap; }
td.other { color: #4A5450; }
td.verdict { white-space: nowrap; padding-right: 14px; }
td.verdict .mark-word { display: block; white-space: normal; max-width: 74px; line-height: 1.2; margin-top: 2px; color: #22302B; }
td .next { display: block; margin-top: 3px; }
td .source { display: block; margin-top: 3px; font-size: 12.5px; color: #4A5450; }
.findings h3 { margin: 0 0 2px; }
.wide { overflow-x: auto; }
tbody th { font-weight: 400; border-bottom: 1px solid #CFC8B6; padding: 6px 12px 6px 0; vertical-align: top; }
.lines th, .lines td { padding-top: 4px; padding-bottom: 4px; }
.said td.number { white-space: nowrap; padding-right: 8px; }
.said thead th.number { padding-right: 8px; }
.said tbody th { min-width: 104px; padding-right: 8px; }
td.marked, th.marked { font-weight: 600; background: #E6E2D0; }
td.marked, thead th.marked { padding-left: 6px; padding-right: 6px; }
.assumed { border: 1px dashed #8A5044; padding: 0 5px; font-size: 12.5px; color: #6B3B31; white-space: nowrap; }
.given { font-size: 12.5px; color: #3F4A45; white-space: nowrap; }
.small { font-size: 13px; color: #3F4A45; }
ul { margin: 4px 0 8px; padding-left: 20px; }
li { margin: 2px 0; }
.hash { font-family: ui-monospace,'SF Mono',Menlo,Consolas,monospace; font-size: 12px; overflow-wrap: anywhere; }
.sign { display: grid; grid-template-columns: 2fr 1fr 2fr; gap: 22px; margin-top: 34px; break-inside: avoid; }
.sign div { border-top: 1px solid #22302B; padding-top: 3px; font-size: 12.5px; }
@media print {
  body { background: none; max-width: none; padding: 0; font-size: 10.5pt; }
  table { font-size: 9.5pt; }
  .small, figcaption, .key { font-size: 9pt; }
  .wide { overflow: visible; }
  .plan > svg { max-width: none; }
  h2 { margin-top: 18pt; }
}
@media (max-width: 560px) {
  .title dl > div.half { grid-column: span 6; }
  .title dl > div.half + div.half { border-left: 0; }
  body { padding: 12px 12px 40px; }
  figure { overflow-x: auto; }
  figure > svg { max-width: none; width: 600px; }
}
`
