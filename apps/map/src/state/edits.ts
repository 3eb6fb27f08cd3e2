import type { HollowTreatment, RainRow, Sighting, SoilPit, SoilRecord } from 'soakline/hydrology'
import type { BuiltRecord, Place, Plan, PlanDesign, PlanFeature, PlanHollow, PlanLine, Settings } from 'soakline/plan'
import type { WorkRecords } from '../worker/protocol.js'
import type { Edit, EditName } from './history.js'
import { replacePosition } from './positions.js'

/** An edit that gives some parts of the plan new values, and gives back the old ones. Unknown keys of the plan stay. */
function change(plan: Plan, name: EditName, parts: Partial<Plan>, joins: string | null = null): Edit {
  const before = Object.fromEntries(Object.keys(parts).map(key => [key, plan[key as keyof Plan]])) as Partial<Plan>
  return { name, joins, forward: p => ({ ...p, ...parts }), back: p => ({ ...p, ...before }) }
}

/** An id that the plan does not use yet: the word and the smallest free number. */
export function freshId(word: string, taken: readonly { readonly id: string }[]): string {
  const used = new Set(taken.map(item => item.id))
  let n = 1
  while (used.has(`${word}-${n}`)) n++
  return `${word}-${n}`
}

/** The plan with this as its line. One line is worked on at a time; further lines of the plan stay after it. */
export const setLine = (plan: Plan, name: EditName, line: PlanLine, joins: string | null = null): Edit =>
  change(plan, name, { lines: [line, ...plan.lines.slice(1)] }, joins)

export const removeLine = (plan: Plan): Edit => change(plan, 'remove-line', { lines: plan.lines.slice(1) })

/** All lines of the plan; the first is the one that is worked on. */
export const setLines = (plan: Plan, lines: readonly PlanLine[]): Edit => change(plan, 'set-lines', { lines })

/** One of the lines becomes the one that is worked on; the others keep their order. */
export function workOn(plan: Plan, id: string): Edit {
  const chosen = plan.lines.find(line => line.id === id)
  return setLines(plan, chosen === undefined ? plan.lines : [chosen, ...plan.lines.filter(line => line !== chosen)])
}

/** Several settings at once. */
export const setSettings = (plan: Plan, parts: Partial<Settings>, joins: string | null = null): Edit =>
  change(plan, 'set-setting', { settings: { ...plan.settings, ...parts } }, joins)

/** The plan's line and settings as the design to compare with; null takes it out. */
export function setOtherDesign(plan: Plan, design: PlanDesign | null): Edit {
  const put = (into: Plan, other: PlanDesign | null): Plan => {
    const { otherDesign: _, ...rest } = into
    return other === null ? rest : { ...rest, otherDesign: other }
  }
  const before = plan.otherDesign ?? null
  return { name: 'set-design', joins: null, forward: p => put(p, design), back: p => put(p, before) }
}

/** The design set aside takes the place of the one on the plan, and the other way round. */
export function swapDesigns(plan: Plan): Edit {
  const [line] = plan.lines
  const { otherDesign } = plan
  const swapped: Partial<Plan> =
    line === undefined || otherDesign === undefined
      ? {}
      : {
          lines: [otherDesign.line, ...plan.lines.slice(1)],
          settings: otherDesign.settings,
          otherDesign: { line, settings: plan.settings },
        }
  return change(plan, 'set-design', swapped)
}

/** The line with one vertex elsewhere; the vertices strictly between it and its two neighbours at hand go, so that no spike is left. */
export function withVertex(line: PlanLine, index: number, place: Place, before: number, after: number): PlanLine {
  const { traced: _, ...free } = line
  const kept = line.path.filter((__, k) => k <= before || k === index || k >= after)
  return { ...free, path: kept.map(p => (p === line.path[index] ? place : p)) }
}

export const addFeature = (plan: Plan, feature: PlanFeature): Edit => change(plan, 'add-feature', { features: [...plan.features, feature] })

/** Features from a file; those whose id is taken get a new one. */
export function importFeatures(plan: Plan, features: readonly PlanFeature[]): Edit {
  const all: PlanFeature[] = [...plan.features]
  for (const feature of features) {
    const taken = all.some(f => f.id === feature.id)
    all.push(taken ? { ...feature, id: freshId(feature.kind, all) } : feature)
  }
  return change(plan, 'import-features', { features: all })
}

const changeFeature = (plan: Plan, id: string, parts: Partial<PlanFeature>): readonly PlanFeature[] =>
  plan.features.map(f => (f.id === id ? { ...f, ...parts } : f))

export const nameFeature = (plan: Plan, id: string, parts: Partial<Pick<PlanFeature, 'name' | 'floor_m' | 'kind'>>): Edit =>
  change(plan, 'name-feature', { features: changeFeature(plan, id, parts) })

/** A feature with one of its positions elsewhere. */
export const movedFeature = (feature: PlanFeature, ring: number, index: number, place: Place): PlanFeature => ({
  ...feature,
  geometry: replacePosition(feature.geometry, ring, index, place),
})

export const setFeature = (plan: Plan, feature: PlanFeature, joins: string | null = null): Edit =>
  change(plan, 'move-feature', { features: plan.features.map(f => (f.id === feature.id ? feature : f)) }, joins)

export const removeFeature = (plan: Plan, id: string): Edit =>
  change(plan, 'remove-feature', { features: plan.features.filter(f => f.id !== id) })

export const setSetting = <K extends keyof Settings>(plan: Plan, key: K, value: Settings[K]): Edit =>
  change(plan, 'set-setting', { settings: { ...plan.settings, [key]: value } })

/** Back to the default, which then counts as assumed again. */
export function unsetSetting(plan: Plan, key: keyof Settings): Edit {
  const { [key]: _, ...rest } = plan.settings
  return change(plan, 'set-setting', { settings: rest })
}

/** What is done with the hollow that holds a place; `fill`, what is done anyway, takes the choice back. `others`: choices about other hollows. */
export const chooseHollow = (plan: Plan, at: Place, treatment: HollowTreatment, others: readonly PlanHollow[]): Edit =>
  change(plan, 'choose-hollow', { hollows: treatment === 'fill' ? [...others] : [...others, { at, treatment }] })

const EMPTY_SOIL: SoilRecord = { pits: [], sightings: [] }
const setSoil = (plan: Plan, parts: Partial<SoilRecord>, joins: string | null = null): Edit =>
  change(plan, 'set-soil', { soil: { ...EMPTY_SOIL, ...plan.soil, ...parts } }, joins)

/** A new pit at a place, of which nobody has noted anything yet but its depth. */
export function addPit(plan: Plan, at: Place, depth_m: number): Edit {
  const pits = plan.soil?.pits ?? []
  const pit: SoilPit = {
    id: freshId('pit', pits),
    at,
    chainage_m: null,
    depth_m,
    layers: [],
    mottlingDepth_m: null,
    waterDepth_m: null,
    rockDepth_m: null,
    crumbTest: null,
    cracks: null,
    tests: [],
  }
  return setSoil(plan, { pits: [...pits, pit] })
}

export const setPit = (plan: Plan, pit: SoilPit): Edit =>
  setSoil(plan, { pits: (plan.soil?.pits ?? []).map(other => (other.id === pit.id ? pit : other)) })

export const removePit = (plan: Plan, id: string): Edit => setSoil(plan, { pits: (plan.soil?.pits ?? []).filter(pit => pit.id !== id) })

export const addSighting = (plan: Plan, sighting: Sighting): Edit =>
  setSoil(plan, { sightings: [...(plan.soil?.sightings ?? []), sighting] })

export const removeSighting = (plan: Plan, index: number): Edit =>
  setSoil(plan, { sightings: (plan.soil?.sightings ?? []).filter((_, k) => k !== index) })

/** A storm as it was measured. */
export const setMeasuredStorm = (plan: Plan, measuredStorm: NonNullable<Plan['measuredStorm']>): Edit =>
  change(plan, 'set-storm', { measuredStorm })

export function removeMeasuredStorm({ measuredStorm: before }: Plan): Edit {
  const without = ({ measuredStorm: _, ...rest }: Plan): Plan => rest
  return { name: 'set-storm', joins: null, forward: without, back: p => (before ? { ...p, measuredStorm: before } : without(p)) }
}

/** A record of daily rain; a day without a reading is null. */
export const setDailyRain = (plan: Plan, dailyRain: NonNullable<Plan['dailyRain']>): Edit => change(plan, 'set-daily-rain', { dailyRain })

export function removeDailyRain({ dailyRain: before }: Plan): Edit {
  const without = ({ dailyRain: _, ...rest }: Plan): Plan => rest
  return { name: 'set-daily-rain', joins: null, forward: without, back: p => (before ? { ...p, dailyRain: before } : without(p)) }
}

/** Records of the work on the ground; a key whose value is undefined is taken out of the plan. */
export function setRecords(
  plan: Plan,
  name: EditName,
  records: { readonly [K in keyof WorkRecords]: WorkRecords[K] | undefined },
  joins: string | null = null,
): Edit {
  const keys = Object.keys(records) as (keyof WorkRecords)[]
  const put = (into: Plan, values: Partial<Record<keyof WorkRecords, unknown>>): Plan => {
    const next: Record<string, unknown> = { ...into }
    for (const key of keys) {
      if (values[key] === undefined) delete next[key]
      else next[key] = values[key]
    }
    return next as unknown as Plan
  }
  const before = Object.fromEntries(keys.map(key => [key, plan[key]]))
  return { name, joins, forward: p => put(p, records), back: p => put(p, before) }
}

const NOTHING_READ: BuiltRecord = { readings: [], fresh: false }

/** Readings of the dug ditch, those of a place read before replaced; sorted along the line. */
export function addReadings(plan: Plan, readings: BuiltRecord['readings']): Edit {
  const before = plan.built ?? NOTHING_READ
  const same = (a: BuiltRecord['readings'][number], b: BuiltRecord['readings'][number]): boolean =>
    a.what === b.what && Math.abs(a.chainage_m - b.chainage_m) < SAME_PLACE_M
  const kept = before.readings.filter(old => !readings.some(next => same(old, next)))
  return setRecords(plan, 'set-built', {
    built: { ...before, readings: [...kept, ...readings].sort((a, b) => a.chainage_m - b.chainage_m) },
  })
}

/** Two readings this near to each other are of one place, as `asBuilt` counts them. */
const SAME_PLACE_M = 0.05

export const setRain = (plan: Plan, rain: readonly RainRow[]): Edit => change(plan, 'set-rain', { rain })
export const setHolding = (plan: Plan, holding: string): Edit => change(plan, 'set-holding', { holding }, 'holding')
export const setGround = (plan: Plan, ground: Plan['ground']): Edit => change(plan, 'set-ground', { ground })

/** Another plan altogether; the old one comes back whole. */
export const openPlan = (before: Plan, after: Plan): Edit => ({ name: 'open-plan', joins: null, forward: () => after, back: () => before })
