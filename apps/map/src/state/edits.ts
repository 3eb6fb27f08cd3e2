import type { HollowTreatment, RainRow, Sighting, SoilPit, SoilRecord } from 'soakline/hydrology'
import type { Place, Plan, PlanFeature, PlanHollow, PlanLine, Settings } from 'soakline/plan'
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

export const setRain = (plan: Plan, rain: readonly RainRow[]): Edit => change(plan, 'set-rain', { rain })
export const setHolding = (plan: Plan, holding: string): Edit => change(plan, 'set-holding', { holding }, 'holding')
export const setGround = (plan: Plan, ground: Plan['ground']): Edit => change(plan, 'set-ground', { ground })

/** Another plan altogether; the old one comes back whole. */
export const openPlan = (before: Plan, after: Plan): Edit => ({ name: 'open-plan', joins: null, forward: () => after, back: () => before })
