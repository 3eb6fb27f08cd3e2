import {
  decimalMark,
  formatChance,
  formatCount,
  formatDepth,
  formatDuration,
  formatNumber,
  formatSlope,
  plainText,
  saySource,
  sayWarning,
  unitSign,
} from '@soakline/drawing'
import { useId, useState } from 'preact/hooks'
import { InputError } from 'soakline/foundation'
import { SETTINGS, type Settings, settingsFrom } from 'soakline/plan'
import { NO_GO_LIMITS } from 'soakline/siting'
import * as edits from '../state/edits.js'
import { shownCut, shownUnit, typedCut } from '../state/shown-setting.js'
import { NumberField, Select, TextField } from './field.js'
import { LimitChange } from './limit-change.js'
import { YEARS_UNKNOWN } from './sizing.js'
import { useDesk } from './with-sheet.js'

type Key = keyof Settings

const GROUPS: readonly {
  readonly name: 'confirm' | 'ditch' | 'spill' | 'soil' | 'storm' | 'setOut' | 'work' | 'planting' | 'ground' | 'distances'
  readonly keys: readonly Key[]
}[] = [
  {
    name: 'confirm',
    keys: [
      'allBuildingsDrawn',
      'permissionsAsked',
      'mayWatercourse',
      'mayWetland',
      'mayEarthworks',
      'mayBuriedLines',
      'mayNeighbour',
      'regulatedHeight_m',
      'regulatedVolume_m3',
    ],
  },
  {
    name: 'ditch',
    keys: [
      'bedWidth_m',
      'depth_m',
      'cutSideSlope_ratio',
      'bermInnerSlope_ratio',
      'bermOuterSlope_ratio',
      'crestWidth_m',
      'sectionForm',
      'drawnCut_m',
      'bedFall_ratio',
      'checkBanks',
      'bermPerCut_ratio',
      'settlement_ratio',
      'settlementConvention',
      'swell_ratio',
      'sedimentShare_ratio',
    ],
  },
  {
    name: 'spill',
    keys: [
      'freeboard_m',
      'freeboardAboveHouse_m',
      'spillHead_m',
      'sillLength_m',
      'spillChainage_m',
      'notchDepth_m',
      'notchWidth_m',
      'exitSoil',
      'exitSoilResistance',
      'exitGrass',
      'exitStone_m',
      'spreaderRule',
      'weirCoefficient',
      'ditchRoughness',
      'sillArmoured',
    ],
  },
  {
    name: 'soil',
    keys: [
      'texture',
      'textureIntake',
      'slowestTest_mmh',
      'intakeTests',
      'emptyWithin_h',
      'soilGroup',
      'soilGroupRule',
      'cover',
      'coverCondition',
      'burnedAbove',
      'snowOrFrost',
      'curveNumber',
      'coverWeighting',
      'initialAbstraction_ratio',
      'wetnessRule',
      'runoffMethod',
      'soilSaturation_ratio',
    ],
  },
  {
    name: 'storm',
    keys: [
      'acceptanceChance',
      'acceptanceChanceAboveHouse',
      'stormDuration_h',
      'stormPattern',
      'stormPeakPlace_ratio',
      'rainUplift_ratio',
      'timeMethod',
      'unitForm',
      'sheetLengthRule',
      'sheetSurface',
      'shallowSurface',
    ],
  },
  {
    name: 'setOut',
    keys: [
      'stakesEvery_m',
      'stakesBend_deg',
      'baseStake',
      'doubtCap_m',
      'aFrameSpan_m',
      'aFramePlumb_m',
      'waterLevelReach_m',
      'unevennessShare_ratio',
      'crestTolerance_mm',
      'sillTolerance_mm',
      'positionLimit_m',
    ],
  },
  { name: 'work', keys: ['digSoil', 'digOutput', 'hoursPerDay_h', 'digStretch_m', 'stripDepth_m', 'mulchDepth_m'] },
  { name: 'planting', keys: ['bermPlants', 'soakWidth_m', 'besideSill_m'] },
  {
    name: 'ground',
    keys: [
      'elevationError_m',
      'triedTerrains',
      'correlatedError_ratio',
      'errorCorrelation_m',
      'hollowDepth_m',
      'hollowVolume_m3',
      'wallHeight_m',
    ],
  },
  {
    name: 'distances',
    keys: [
      'buildingClearance_m',
      'setbackBuilding_m',
      'buildingMargin_m',
      'aboveShare_ratio',
      'steepSlope_ratio',
      'concentratedFlow_ratio',
      'setbackBoundary_m',
      'setbackTrack_m',
      'setbackStream_m',
      'setbackUtility_m',
      'setbackSeptic_m',
      'setbackWell_m',
      'setbackSpring_m',
      'seepage_m',
      'seepageDepths_ratio',
      'wetnessIndex_ln',
      'canopyHeight_m',
      'weakSoil',
      'weakSlope_ratio',
      'bankSlope_ratio',
      'bankDistance_m',
      'slipHead_m',
      'slideFactor_ratio',
      'slideCohesion_kPa',
      'slideFriction_deg',
      'slideWeight_kNm3',
      'slideDepth_m',
      'slideWetShare_ratio',
    ],
  },
]

/** Settings that are worked out when nobody gives them. */
const NULL_SAYS_HOW: Partial<Record<Key, 'fromTable' | 'workedOut'>> = {
  curveNumber: 'fromTable',
  sillLength_m: 'workedOut',
  spillChainage_m: 'workedOut',
}

/** Ditch, soil, storm, limits and what the user has confirmed: each with unit, default and source, and "assumed" until it is touched. */
export function SettingsLeaf() {
  const { sheet, say } = useDesk()
  if (sheet.ground.value === null) return <p class="empty">{say.answer.noGround}</p>
  return (
    <>
      {GROUPS.map(({ name, keys }) => (
        <details class="block setting-group" key={name} open={name === 'confirm' || name === 'ditch'}>
          <summary>
            <h2>{say.settings.groups[name]}</h2>
          </summary>
          {name === 'confirm' && <p class="small">{say.settings.confirmNote}</p>}
          {keys.map(key => (
            <Setting key={key} name={key} />
          ))}
          {name === 'storm' && <RainTable />}
          {name === 'storm' && <MeasuredStorm />}
          {name === 'storm' && <DailyRain />}
        </details>
      ))}
    </>
  )
}

function Setting({ name }: { readonly name: Key }) {
  const { sheet, voice, say, words } = useDesk()
  const given = sheet.plan.value.settings
  const isGiven = Object.hasOwn(given, name)
  const { settings } = settingsFrom(given)
  const value = settings[name]
  const entry = SETTINGS[name]
  const set = (next: Settings[Key]): void => sheet.edit(plan => edits.setSetting(plan, name, next))
  if (name === 'drawnCut_m' && settings.sectionForm !== 'drawn') return null
  const badge = (
    <span class={isGiven ? 'badge-given' : 'badge-assumed'} title={isGiven ? undefined : say.settings.assumedHint}>
      {isGiven ? say.settings.given : say.settings.assumed}
    </span>
  )
  return (
    <div class="setting">
      {typeof entry.default === 'boolean' ? (
        <Confirm
          text={name === 'allBuildingsDrawn' || name === 'permissionsAsked' ? say.settings.confirmText[name] : words.setting[name]}
          value={value === true}
          onSet={set}
        />
      ) : name === 'drawnCut_m' ? (
        <DrawnCut value={settings.drawnCut_m} onSet={set} />
      ) : entry.values ? (
        <Select
          label={
            <>
              {words.setting[name]} {badge}
            </>
          }
          value={String(value)}
          choices={entry.values.map(v => ({ value: String(v), text: sayValue(name, v) }))}
          onChoose={next => set((entry.values!.find(v => String(v) === next) ?? null) as Settings[Key])}
        />
      ) : (
        <Measured name={name} value={value as number | null} badge={badge} onSet={set} />
      )}
      {isGiven && value !== entry.default && (NO_GO_LIMITS as readonly string[]).includes(name) && <LimitChange name={name} />}
      {typeof entry.default !== 'boolean' && (
        <details class="source">
          <summary>{say.settings.source}</summary>
          <p class="small">
            {say.settings.default(sayDefault())} <cite>{saySource(entry.source, voice)}</cite>.
          </p>
          {isGiven && (
            <button type="button" onClick={() => sheet.edit(plan => edits.unsetSetting(plan, name))}>
              {say.settings.reset}
            </button>
          )}
        </details>
      )}
    </div>
  )

  function sayValue(key: Key, v: string | number | boolean | null): string {
    if (typeof v === 'boolean') return v ? words.yes : words.no
    if (v === null) return key === 'coverCondition' ? say.settings.noCondition : say.settings.notKnown
    if (typeof v === 'number') return entry.unit === '1' ? formatSlope(v, voice) : formatNumber(v, voice, 2)
    if (key === 'cover') return (words.cover as Readonly<Record<string, string>>)[v] ?? v
    if (key === 'coverCondition') return (words.condition as Readonly<Record<string, string>>)[v] ?? v
    return words.choice[v] ?? v
  }

  function sayDefault(): string {
    if (entry.default === null) return `${NULL_SAYS_HOW[name] === undefined ? say.settings.notKnown : say.settings[NULL_SAYS_HOW[name]]}.`
    if (typeof entry.default === 'string') return `${sayValue(name, entry.default)}.`
    if (typeof entry.default !== 'number') return ''
    if (entry.unit === 'chance per year') return `${formatChance(entry.default, voice)}.`
    const unit = shownUnit(name, voice.units)
    return `${formatNumber(unit.toShown(entry.default), voice, 2)} ${unitSign(unit.sign, voice)}.`
  }
}

/** A drawn section as points that are typed, in the reader's units; taken only as a whole. */
function DrawnCut({ value, onSet }: { readonly value: Settings['drawnCut_m']; onSet(value: Settings['drawnCut_m']): void }) {
  const { voice, say, words } = useDesk()
  const [isBad, setBad] = useState(false)
  const { toShown, sign } = shownUnit('drawnCut_m', voice.units)
  const metresPer = 1 / toShown(1)
  const take = (text: string): void => {
    const points = text.trim() === '' ? null : typedCut(text, metresPer)
    const isWrong = text.trim() !== '' && (points === null || !isSetting({ drawnCut_m: points }))
    setBad(isWrong)
    if (!isWrong) onSet(points)
  }
  return (
    <>
      <TextField
        label={words.setting.drawnCut_m}
        value={value === null ? '' : shownCut(value, metresPer, decimalMark(voice))}
        maxLength={2000}
        hint={say.settings.drawnHint(unitSign(sign, voice))}
        onCommit={take}
      />
      {isBad && (
        <p class="field-bad" role="alert">
          {say.settings.drawnBad}
        </p>
      )}
    </>
  )
}

/** Whether settings are taken as they are. */
function isSetting(given: Partial<Settings>): boolean {
  try {
    settingsFrom(given)
    return true
  } catch (error) {
    if (error instanceof InputError) return false
    throw error
  }
}

function Confirm({ text, value, onSet }: { readonly text: string; readonly value: boolean; onSet(value: boolean): void }) {
  const id = useId()
  return (
    <p class="confirm">
      <input id={id} type="checkbox" checked={value} onChange={event => onSet(event.currentTarget.checked)} />
      <label for={id}>{text}</label>
    </p>
  )
}

function Measured({
  name,
  value,
  badge,
  onSet,
}: {
  readonly name: Key
  readonly value: number | null
  readonly badge: preact.ComponentChildren
  onSet(value: number | null): void
}) {
  const { sheet, voice, say, words } = useDesk()
  const entry = SETTINGS[name]
  const unit = shownUnit(name, voice.units)
  const spillway = sheet.settled.value?.assessment.spillway
  const [a, b] = (entry.range ?? [0, 1e9]).map(unit.toShown) as [number, number]
  const [low, high] = [Math.min(a, b), Math.max(a, b)]
  const worked_m = name === 'sillLength_m' ? spillway?.length_m : name === 'spillChainage_m' ? spillway?.chainage_m : undefined
  const how = NULL_SAYS_HOW[name]
  const unset = how === undefined ? say.settings.notKnown : say.settings[how]
  return (
    <NumberField
      label={
        <>
          {words.setting[name]} {badge}
        </>
      }
      value={value === null ? null : unit.toShown(value)}
      unit={unit.sign === 'chance' ? say.settings.chanceTail : unitSign(unit.sign, voice)}
      {...(unit.sign === 'chance' ? { lead: say.settings.chanceLead } : {})}
      low={low}
      high={high}
      nullable={entry.nullable === true}
      whole={unit.whole === true}
      placeholder={entry.nullable ? unset : ''}
      {...(value === null && worked_m !== undefined
        ? { hint: `${unset}: ${formatNumber(unit.toShown(worked_m), voice, 1)} ${unitSign(unit.sign, voice)}` }
        : {})}
      complaint={(unit.whole ? say.settings.wholeOutOfRange : say.settings.outOfRange)(
        formatNumber(low, voice, 2),
        formatNumber(high, voice, 2),
      )}
      onCommit={shown =>
        onSet(
          shown === null ? null : Math.min(Math.max(unit.fromShown(shown), entry.range?.[0] ?? -Infinity), entry.range?.[1] ?? Infinity),
        )
      }
    />
  )
}

/** The measured storm that was brought, and a way to leave it out again. */
function MeasuredStorm() {
  const { sheet, say } = useDesk()
  const storm = sheet.plan.value.measuredStorm
  return (
    <div class="block">
      <h3>{say.rain.measured}</h3>
      {storm ? (
        <>
          <p>{say.rain.measuredTaken(plainText(storm.source ?? ''))}</p>
          <button type="button" onClick={() => sheet.edit(edits.removeMeasuredStorm)}>
            {say.rain.removeMeasured}
          </button>
        </>
      ) : (
        <p class="small">{say.rain.measuredNone}</p>
      )}
    </div>
  )
}

/** The record of daily rain that was brought, and a way to leave it out again. */
function DailyRain() {
  const { sheet, voice, say } = useDesk()
  const record = sheet.plan.value.dailyRain
  return (
    <div class="block">
      <h3>{say.rain.daily}</h3>
      {record ? (
        <>
          {sheet.settled.value?.assessment.year === null && <p>{sayWarning(YEARS_UNKNOWN, voice)}</p>}
          <p>{say.rain.dailyTaken(plainText(record.source ?? ''), formatCount(record.depths_mm.length, voice))}</p>
          <button type="button" onClick={() => sheet.edit(edits.removeDailyRain)}>
            {say.rain.removeDaily}
          </button>
        </>
      ) : (
        <p class="small">{say.rain.dailyNone}</p>
      )}
    </div>
  )
}

/** The rain table as it was brought: durations down, chances across. */
function RainTable() {
  const { sheet, voice, say } = useDesk()
  const { rain } = sheet.plan.value
  const { acceptanceChance: chosen, stormDuration_h } = settingsFrom(sheet.plan.value.settings).settings
  // Where a house lies below, a rarer storm judges.
  const acceptanceChance = sheet.settled.value?.assessment.acceptance.chancePerYear ?? chosen
  if (rain.length === 0)
    return (
      <div class="block">
        <h3>{say.rain.title}</h3>
        <p>{say.rain.none}</p>
        <p class="small">{say.rain.bring}</p>
      </div>
    )
  const durations = [...new Set(rain.map(r => r.duration_h))].sort((a, b) => a - b)
  const chances = [...new Set(rain.map(r => r.chancePerYear))].sort((a, b) => b - a)
  return (
    <div class="block">
      <h3>{say.rain.title}</h3>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by the keyboard */}
      <section class="scroll-x" tabIndex={0} aria-label={say.rain.caption}>
        <table class="rain">
          <caption class="small">{say.rain.caption}</caption>
          <thead>
            <tr>
              <th scope="col">{say.rain.duration}</th>
              {chances.map(chance => (
                <th scope="col" key={chance}>
                  {say.settings.chanceLead} {formatNumber(1 / chance, voice, 1)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {durations.map(duration => (
              <tr key={duration}>
                <th scope="row">{formatDuration(duration, voice)}</th>
                {chances.map(chance => {
                  const row = rain.find(r => r.duration_h === duration && r.chancePerYear === chance)
                  const judged = duration === stormDuration_h && chance === acceptanceChance
                  return (
                    <td key={chance} class={judged ? 'judged' : undefined} title={judged ? say.rain.judged : undefined}>
                      {row ? formatDepth(row.depth_mm, voice) : ''}
                    </td>
                  )
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <button type="button" onClick={() => sheet.edit(plan => edits.setRain(plan, []))}>
        {say.rain.remove}
      </button>
    </div>
  )
}
