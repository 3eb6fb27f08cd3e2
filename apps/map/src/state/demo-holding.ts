import { batch, type ReadonlySignal, type Signal } from '@preact/signals'
import type { Language } from '@soakline/drawing'
import type { Plan, PlanLine, Settings } from 'soakline/plan'
import type { LineAnswer, LyingOn } from '../worker/protocol.js'
import * as edits from './edits.js'
import type { FileLines } from './file-lines.js'
import type { Hand } from './hand.js'
import { type Edit, type History, startHistory } from './history.js'
import { roughLength_m } from './hold.js'
import type { InSight } from './in-sight.js'
import { changeBetween } from './journal.js'
import type { Keeping } from './keeping.js'
import type { OpenGround } from './open-ground.js'
import type { GroundOpening } from './opening-ground.js'
import { refusalIn } from './refusals.js'
import type { World } from './world.js'

export type DemoLine = 'spur' | 'bench'

/** The demo's names in both languages, by id. */
function demoNames(text: string): ReadonlyMap<string, Readonly<Record<Language, string>>> {
  const { features } = JSON.parse(text) as { features: { properties: { id: string; name?: string; name_es?: string } }[] }
  return new Map(features.flatMap(({ properties: p }) => (p.name && p.name_es ? [[p.id, { en: p.name, es: p.name_es }] as const] : [])))
}

/** What the demo rests on. */
export interface DemoNeeds {
  readonly world: Pick<World, 'ask' | 'demoFile' | 'demoHolding' | 'language'>
  readonly history: Signal<History>
  readonly plan: ReadonlySignal<Plan>
  readonly ground: ReadonlySignal<OpenGround | null>
  readonly hand: Pick<Hand, 'mode' | 'rest'>
  readonly keeping: Pick<Keeping, 'saving' | 'beginJournal' | 'keep'>
  readonly lines: Pick<FileLines, 'notTaken'>
  readonly sight: Pick<InSight, 'opening'>
  readonly openGround: GroundOpening['openGround']
  readonly answer: ReadonlySignal<LineAnswer | null>
  lyingOn(): LyingOn
  edit(make: (plan: Plan) => Edit): void
  refresh(): void
  /** The plan is to be fitted to the evidence of the first answer after this one. */
  fit(after: LineAnswer | null): void
}

/** The demo holding, whose names follow the language. */
export function createDemoHolding(needs: DemoNeeds) {
  const { world, history, plan, ground, hand, keeping, openGround, answer, lyingOn, edit, refresh, fit } = needs
  const { saving, beginJournal, keep } = keeping
  const { notTaken } = needs.lines
  const { opening } = needs.sight

  let names: ReadonlyMap<string, Readonly<Record<Language, string>>> = new Map()

  async function demoText(name: string): Promise<string> {
    return (await world.demoFile(name)).text()
  }

  async function demoLine(which: DemoLine): Promise<PlanLine> {
    const { path } = await world.ask('importLine', { text: await demoText(`line-${which}.geojson`), on: lyingOn() })
    const centre = ground.value?.card.localCentre ?? null
    return {
      id: `demo-${which}`,
      path,
      traced: { through: path[Math.floor(path.length / 2)]!, fall_ratio: 0, length_m: roughLength_m(path, centre) },
    }
  }

  /** The demo holding with its better line. */
  async function openDemo(): Promise<void> {
    opening.value = 'ground.tif'
    try {
      const file = await world.demoFile('ground.tif')
      const had = ground.value !== null
      if (
        !(await openGround(
          file,
          'ground.tif',
          {},
          { demo: true, setAside: had && !(ground.value?.demo && saving.value.kind === 'untouched'), quiet: true },
        ))
      )
        return
      const language = world.language.value
      const text = await demoText('features.geojson')
      names = demoNames(text)
      const { features: found } = await world.ask('importFeatures', { text, on: lyingOn() })
      const { rows } = await world.ask('importRain', { text: await demoText('rain.csv') })
      const settings = JSON.parse(await demoText('settings.json')) as Partial<Settings>
      const first = await demoLine('spur')
      batch(() => {
        history.value = startHistory({
          ...plan.value,
          holding: world.demoHolding(language),
          features: found.map(f => ({ ...f, name: names.get(f.id)?.[language] ?? f.name })),
          rain: rows,
          settings,
          lines: [first],
        })
        hand.mode.value = { kind: 'look' }
        saving.value = { kind: 'untouched' }
        fit(null)
        beginJournal()
      })
      refresh()
    } catch (error) {
      notTaken('demo', refusalIn(error))
    } finally {
      opening.value = null
    }
  }

  /** The demo's names follow the language while nobody has changed them. */
  function renameDemo(language: Language): void {
    if (!ground.value?.demo) return
    const now = plan.value
    const other = (name: string | null, id: string): string | null => {
      const pair = names.get(id)
      return pair && (name === pair.en || name === pair.es) ? pair[language] : name
    }
    const renamed = now.features.map(f => (other(f.name, f.id) === f.name ? f : { ...f, name: other(f.name, f.id) }))
    const holding =
      now.holding === world.demoHolding('en') || now.holding === world.demoHolding('es') ? world.demoHolding(language) : now.holding
    if (holding === now.holding && renamed.every((f, k) => f === now.features[k])) return
    history.value = { ...history.value, plan: { ...now, features: renamed, holding } }
    // A demo that nobody has touched is not kept.
    if (saving.value.kind === 'untouched') beginJournal()
    else keep({ what: 'rename', change: changeBetween(now, plan.value) })
    refresh()
  }

  return {
    openDemo,
    renameDemo,
    /** Learns what the demo's things are called, where kept work is of it. */
    async learnNames(): Promise<void> {
      names = await demoText('features.geojson').then(demoNames, () => names)
    },
    async useDemoLine(which: DemoLine): Promise<void> {
      const found = await demoLine(which)
      batch(() => {
        hand.rest()
        fit(answer.value)
      })
      edit(now => edits.setLine(now, 'draw-line', found))
    },
  }
}

export type DemoHolding = ReturnType<typeof createDemoHolding>
