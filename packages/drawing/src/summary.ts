import { worstVerdict } from 'soakline/foundation'
import type { Assessment } from 'soakline/plan'
import { formatEarth, measuresOf } from './measures.js'
import { sayAnswers, sayFinding, sayVerdict, wordsOf } from './sentences.js'
import { sayMeasuredStormShort, sayYearShort } from './soil-and-year.js'
import type { Voice } from './voice.js'

/** The answer for a terminal: about 15 lines, sentences with their verdict in words before them. */
export function summaryText(assessment: Assessment, voice: Voice): string[] {
  const { summary, report, unknownFirst } = wordsOf(voice)
  const m = measuresOf(voice)
  const { line, storage, earth, findings, storms } = assessment
  const said = ['catchment-complete', 'overflow-misses-buildings']
  return [
    summary.title,
    '',
    ...sayAnswers(assessment, voice).flatMap(answer => [`${answer.title} [${sayVerdict(answer.verdict, voice)}]`, `  ${answer.text}`]),
    '',
    summary.line(m.length(line.length_m), m.elevation(line.bedElevation_m), m.slope(line.meanGroundSlope_ratio)),
    storage === null ? summary.noDitch : summary.holds(m.volume(storage.toSill_m3), formatEarth(earth?.cut_m3, voice)),
    ...(storms.length === 0 ? [summary.noStorm] : []),
    ...sayMeasuredStormShort(assessment, voice),
    ...sayYearShort(assessment, voice),
    summary.checks,
    // The two checks that the answers above have said already are not said twice.
    ...findings
      .filter(f => !said.includes(f.check))
      .map(f => `  [${sayVerdict(f.verdict, voice)}] ${withoutPrefix(sayFinding(f, voice), unknownFirst)}`),
    summary.worst(sayVerdict(findings.length === 0 ? 'unknown' : worstVerdict(findings.map(f => f.verdict)), voice)),
    report.limits.split('. ').slice(0, 2).join('. ').replace(/\.?$/, '.'),
  ]
}

/** The verdict stands before the sentence already, so the sentence need not begin with it. */
function withoutPrefix(text: string, prefix: string): string {
  if (!text.startsWith(prefix)) return text
  const rest = text.slice(prefix.length)
  return rest.charAt(0).toUpperCase() + rest.slice(1)
}
