import { computed, type ReadonlySignal, type Signal, signal } from '@preact/signals'
import {
  LANGUAGES,
  LAYER_GROUPS,
  type Language,
  type LayerGroup,
  RAMPS,
  type Ramp,
  UNIT_SYSTEMS,
  type UnitSystem,
  type Voice,
} from '@soakline/drawing'

export const THEMES = ['paper', 'night', 'sunlight'] as const
export type Theme = (typeof THEMES)[number]

/** How strong each group of the plan is shown, 0 (put away) to 1. */
export type LayerStrengths = Readonly<Record<LayerGroup, number>>

export const ALL_SHOWN = Object.fromEntries(LAYER_GROUPS.map(group => [group, 1])) as LayerStrengths

/** How the reader wants the sheet: kept in this browser, no part of the plan. */
export interface Prefs {
  readonly language: Signal<Language>
  readonly units: Signal<UnitSystem>
  readonly theme: Signal<Theme>
  /** Whether shortcuts of a single key work. */
  readonly singleKeys: Signal<boolean>
  /** Tint of the ground. */
  readonly ramp: Signal<Ramp>
  /** How strong each group of the plan is shown, 0 (put away) to 1. */
  readonly layers: Signal<LayerStrengths>
  /** Station of the guided look, from 0; null while it is put away. At the first visit it stands at its first. */
  readonly look: Signal<number | null>
  readonly voice: ReadonlySignal<Voice>
}

/** What the browser says of the reader. */
export interface Reader {
  /** BCP 47 tags, the best first. */
  readonly languages: readonly string[]
  readonly dark: boolean
  read(key: string): string | null
  write(key: string, value: string): void
}

const one = <T extends string>(values: readonly T[], value: string | null): T | null => values.find(v => v === value) ?? null

/** Preferences as kept, else as the browser says; feet only where the tag names the United States. */
export function createPrefs(reader: Reader): Prefs {
  const tag = reader.languages.find(t => LANGUAGES.some(l => t.toLowerCase().startsWith(l))) ?? 'en'
  const language = signal<Language>(one(LANGUAGES, reader.read('language')) ?? (tag.toLowerCase().startsWith('es') ? 'es' : 'en'))
  const units = signal<UnitSystem>(one(UNIT_SYSTEMS, reader.read('units')) ?? (tag === 'en-US' ? 'us' : 'metric'))
  const theme = signal<Theme>(one(THEMES, reader.read('theme')) ?? (reader.dark ? 'night' : 'paper'))
  const singleKeys = signal(reader.read('single-keys') !== 'off')
  const look = signal<number | null>(reader.read('looked') === 'yes' ? null : 0)
  look.subscribe(value => {
    if (value === null) reader.write('looked', 'yes')
  })
  const ramp = signal<Ramp>(one(RAMPS, reader.read('ramp')) ?? 'hill')
  const layers = signal(strengthsFrom(reader.read('layers')))
  ramp.subscribe(value => reader.write('ramp', value))
  layers.subscribe(value => reader.write('layers', JSON.stringify(value)))
  language.subscribe(value => reader.write('language', value))
  units.subscribe(value => reader.write('units', value))
  // Until the reader chooses, the device leads: a look that was never chosen is not kept.
  const first = theme.value
  theme.subscribe(value => {
    if (value !== first || reader.read('theme') !== null) reader.write('theme', value)
  })
  singleKeys.subscribe(value => reader.write('single-keys', value ? 'on' : 'off'))
  const voice = computed<Voice>(() => ({
    language: language.value,
    units: units.value,
    locale: reader.languages.find(t => t.toLowerCase().startsWith(language.value)),
  }))
  return { language, units, theme, singleKeys, ramp, layers, look, voice }
}

/** Strengths as they were kept; what cannot be read is shown whole. */
function strengthsFrom(kept: string | null): LayerStrengths {
  try {
    const read = JSON.parse(kept ?? '{}') as Partial<Record<LayerGroup, unknown>>
    const strength = (value: unknown): number => (typeof value === 'number' && value >= 0 && value <= 1 ? value : 1)
    return Object.fromEntries(LAYER_GROUPS.map(group => [group, strength(read[group])])) as LayerStrengths
  } catch {
    return ALL_SHOWN
  }
}
