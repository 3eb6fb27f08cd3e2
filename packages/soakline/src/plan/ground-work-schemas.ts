import { VERDICTS } from '../foundation/index.js'
import { INSPECTION_TIMES, stormLogSchema } from './care.js'
import { CROSSERS, DIG_PHASES, DIG_TOOLS, RAIN_AFTER_PHASE } from './digging.js'
import { MATCH_REASONS, plantsSchema } from './plant-list.js'
import { PLANT_ZONES } from './planting.js'
import { STAKE_KINDS } from './stakes.js'

// What the commands about the work on the ground give out. Numbers are SI whatever the reader's units; a `text` is in the reader's language.

type Schema = Record<string, unknown>
const number: Schema = { type: 'number' }
const positive: Schema = { type: 'number', minimum: 0 }
const numberOrNull: Schema = { type: ['number', 'null'] }
const text: Schema = { type: 'string' }
const yesNo: Schema = { type: 'boolean' }
const place: Schema = { type: 'array', items: number, minItems: 2, maxItems: 2 }
const list = (items: Schema): Schema => ({ type: 'array', items })
/** Everything named is there; more may be added. */
const object = (properties: Record<string, Schema>, left: readonly string[] = []): Schema => ({
  type: 'object',
  required: Object.keys(properties).filter(key => !left.includes(key)),
  properties,
})
const orNull = (schema: Schema): Schema => ({ anyOf: [schema, { type: 'null' }] })
const range = (low: string, high: string): Schema => object({ [low]: positive, [high]: positive })

const document = (name: string, description: string, properties: Record<string, Schema>): Schema => ({
  $schema: 'https://json-schema.org/draft/2020-12/schema',
  title: `soakline-${name}/1`,
  description,
  ...object({ format: { const: `soakline-${name}/1` }, ...properties }),
})

/** JSON Schema (2020-12) of `stakes.json`. */
export function stakesSchema(): Schema {
  const schema = document('stakes', 'Stakes of a line and how their levels are set. Levels are in the datum of the raster.', {
    line: object({
      length_m: positive,
      downhill: { enum: ['left', 'right'] },
      spill_m: positive,
      sill: orNull(object({ from_m: positive, to_m: positive, level_m: number })),
      notch_m: numberOrNull,
    }),
    stakes: list(
      object({
        number: { type: 'integer', minimum: 1 },
        kinds: { type: 'array', items: { enum: [...STAKE_KINDS] }, minItems: 1 },
        chainage_m: positive,
        place,
        x_m: number,
        y_m: number,
        ground_m: number,
        bed_m: number,
        crest_m: numberOrNull,
        sill_m: numberOrNull,
        cut_m: number,
        bermSettled_m: numberOrNull,
        bermToBuild_m: numberOrNull,
        topWidth_m: positive,
        outerToe_m: numberOrNull,
        toNext: orNull(object({ distance_m: positive, groundDrop_m: number, bedDrop_m: number })),
        fromBase: object({ distance_m: positive, tape_m: positive, bearing_deg: numberOrNull }),
        horizontalDoubt_m: numberOrNull,
        doubtCapped: yesNo,
        text,
      }),
    ),
    levelling: object({
      fall_ratio: positive,
      aFrame: object({
        legSpan_m: positive,
        plumb_m: positive,
        dropPerStep_m: positive,
        markOffset_m: positive,
        steps: positive,
        readingError_m: positive,
        error: object({ perStep_m: positive, byChance_m: positive, byBias_m: positive, grade_ratio: positive }),
        tally: list(object({ stake: positive, steps: positive, rest_m: positive, stepsSoFar: positive, bedDropSoFar_m: number })),
      }),
      waterLevel: object({
        reach_m: positive,
        setUps: positive,
        error_m: positive,
        rows: list(object({ from: positive, to: positive, distance_m: positive, tooFar: yesNo, ground_m: number, bed_m: number })),
      }),
      tools: list(object({ tool: text, error_m: positive, per: text, sillFit: yesNo, known: text })),
    }),
  })
  // There where readings of a level book were given.
  return { ...schema, properties: { ...(schema.properties as Schema), levelBook: levelBookSchema } }
}

const levelBookSchema: Schema = object({
  rows: list(
    object(
      {
        point: text,
        backsight_m: numberOrNull,
        intermediate_m: numberOrNull,
        foresight_m: numberOrNull,
        rise_m: numberOrNull,
        fall_m: numberOrNull,
        level_m: number,
      },
      ['backsight_m', 'intermediate_m', 'foresight_m'],
    ),
  ),
  backsights_m: number,
  foresights_m: number,
  rises_m: positive,
  falls_m: positive,
  stands: positive,
  check: object({ sights_m: number, steps_m: number, levels_m: number, agrees: yesNo }),
  misclosure_m: numberOrNull,
  allowed_m: numberOrNull,
})

/** JSON Schema (2020-12) of `digging.json`. */
export function diggingSchema(): Schema {
  const days = orNull(range('low_days', 'high_days'))
  return document('digging', 'Earth, days, order of the work, crossings and tools. Money is the user’s own.', {
    stretches: list(
      object({
        order: positive,
        from_m: positive,
        to_m: positive,
        length_m: positive,
        cut_m3: positive,
        loose_m3: positive,
        bermSettled_m3: positive,
        greatestCut_m: number,
        personDays: days,
      }),
    ),
    cut_m3: positive,
    loose_m3: positive,
    bermSettled_m3: positive,
    topsoil_m3: positive,
    stripped_m2: positive,
    mulch_m3: positive,
    personDays: days,
    bySoil: list(object({ soil: text, days, chosen: yesNo })),
    machineHours: range('low_h', 'high_h'),
    phases: list(
      object({
        order: positive,
        code: { enum: [...DIG_PHASES] },
        rain: { enum: [...RAIN_AFTER_PHASE] },
        quantities: { type: 'object', additionalProperties: number },
        text,
        rainText: text,
      }),
    ),
    crossings: list(
      object(
        {
          chainage_m: number,
          crosser: { enum: [...CROSSERS] },
          width_m: positive,
          ramp_ratio: positive,
          length_m: positive,
          extraCut_m3: positive,
          extraFill_m3: positive,
          refused: { type: ['string', 'null'] },
          text,
        },
        ['text'],
      ),
    ),
    tools: list(object({ tool: { enum: [...DIG_TOOLS] }, text })),
    cost: orNull(
      object({
        byHand: orNull(range('low', 'high')),
        byMachine: orNull(range('low', 'high')),
        mulch: { type: ['number', 'null'], minimum: 0 },
      }),
    ),
  })
}

/** JSON Schema (2020-12) of `planting.json`. */
export function plantingSchema(): Schema {
  const zone: Schema = { enum: [...PLANT_ZONES] }
  const plant = plantsSchema().items as Schema & { properties: Record<string, Schema> }
  return document(
    'planting',
    'Places to plant, from uphill to downhill, and where each plant of the list goes. Outlines are in planting.geojson.',
    {
      zones: list(
        object({
          zone,
          parts: list(object({ from_m: positive, to_m: positive })),
          length_m: positive,
          area_m2: positive,
          width_m: positive,
          spacing_m: numberOrNull,
          rows: positive,
          rowSpacing_m: numberOrNull,
          count: { type: ['integer', 'null'], minimum: 0 },
          sown: yesNo,
          conditions: object({
            underWater_h: numberOrNull,
            drainedDepth_m: numberOrNull,
            woody: { enum: ['kept-out', 'small', 'allowed'] },
            facing_deg: numberOrNull,
            sun: orNull(object({ year_ratio: positive, summer_ratio: positive, winter_ratio: positive, afternoon_ratio: positive })),
          }),
          text,
        }),
      ),
      starterList: yesNo,
      plants: list({ ...plant, required: ['name', 'needs', 'text'], properties: { ...plant.properties, text } }),
      matches: list(
        object({
          plant: text,
          zone,
          verdict: { enum: [...VERDICTS] },
          reasons: list({ enum: [...MATCH_REASONS] }),
          text,
        }),
      ),
    },
  )
}

/** JSON Schema (2020-12) of `care.json`. */
export function careSchema(): Schema {
  const said = object({ code: text, text })
  const predicted = object({
    runoff_mm: positive,
    runoff_m3: positive,
    least_m3: positive,
    most_m3: positive,
    filled_ratio: positive,
    spills: { enum: ['yes', 'no', 'in-between'] },
    water_m: positive,
    leastWater_m: positive,
    mostWater_m: positive,
  })
  return document('care', 'The storm card, what is looked at and when, and storms seen beside what their rain was bound to do.', {
    card: object({
      openAt: object({ chainage_m: positive, place }),
      sill_m: numberOrNull,
      sillLength_m: numberOrNull,
      notch_m: numberOrNull,
      lowestCrest_m: number,
      lowestCrestAt_m: positive,
      sillToCrest_m: numberOrNull,
      holds_m3: positive,
      acceptanceChance: { type: 'number', exclusiveMinimum: 0, maximum: 1 },
      houseBelow: yesNo,
      doNot: list(said),
      inStorm: list(said),
      ring: text,
    }),
    inspections: list(object({ code: text, when: list({ enum: [...INSPECTION_TIMES] }), text })),
    cleanAt_m: positive,
    log: list(
      object({
        storm: stormLogSchema().items as Schema,
        predicted: orNull(predicted),
        because: text,
        waterOff_m: numberOrNull,
        text,
      }),
    ),
  })
}
