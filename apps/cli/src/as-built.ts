import { onSiteWords, partText, sayBuilt, sayConsequence, sayGroundWork, type Voice } from '@soakline/drawing'
import { readAsBuilt } from '@soakline/io'
import { InputError } from 'soakline/foundation'
import {
  type Assessment,
  assessFully,
  type BuiltRecord,
  builtAgainstPlan,
  groundWork,
  settingsAsBuilt,
  verdictsChanged,
} from 'soakline/plan'
import type { Answered } from './asked.js'
import { readText } from './files.js'
import type { Arguments } from './usage.js'

/** What was read on the dug ditch, and the answer about it. */
interface Built {
  readonly record: BuiltRecord
  readonly answer: Assessment
  readonly json: (voice: Voice) => Record<string, unknown>
  readonly said: (voice: Voice) => readonly string[]
}

/** The readings that `--as-built` names, or that the plan keeps, with the whole answer on what was built; null without any. */
export async function builtFrom(args: Arguments, { asked, site, answer: planned, laid }: Answered): Promise<Built | null> {
  const file = args.options.get('as-built')
  if (file === undefined && (asked.plan.built?.readings ?? []).length === 0) return null
  if (laid === null)
    throw new InputError(
      'stakes/no-ditch',
      'No ditch can be laid out on this line as it is set, so there is nothing to hold the readings against. Change the line or the settings.',
    )
  const { stakes } = groundWork(laid, planned)
  const record: BuiltRecord =
    file === undefined
      ? asked.plan.built!
      : {
          readings: readAsBuilt(await readText(file), { stakes }).map(({ what, chainage_m, level_m }) => ({ what, chainage_m, level_m })),
          fresh: args.flags.has('fresh'),
        }
  const built = builtAgainstPlan(laid, planned, record)
  const { line, rain, dailyRain, measuredStorm } = asked
  const answer = assessFully(site, line, settingsAsBuilt(laid), rain, { asDug: true, dailyRain, measuredStorm, built: built.built })
  const verdicts = verdictsChanged(planned, answer)
  return {
    record,
    answer,
    said: voice => [
      onSiteWords(voice).built.consequence.toUpperCase(),
      '',
      ...sayConsequence(built, { planned, built: answer, verdicts }, voice),
      '',
      // Every single reading stands in the JSON.
      ...sayBuilt(built, voice).slice(0, 2).flatMap(partText),
    ],
    json: voice => ({
      fresh: record.fresh,
      readings: built.readings,
      bed: built.bed,
      sill: built.sill,
      lowestCrest_m: built.lowestCrest_m,
      lowSpots: built.lowSpots,
      remarks: built.remarks.map(({ code, ...values }) => ({ code, ...values, text: sayGroundWork(code, values, voice) })),
      verdicts,
      planned: { storage: planned.storage, findings: planned.findings.map(({ check, verdict }) => ({ check, verdict })) },
    }),
  }
}
