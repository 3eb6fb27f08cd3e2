import { DAY, type Inks, type LayerGroup, NIGHT, type Ramp } from '@soakline/drawing'
import type { ExpressionSpecification, FilterSpecification, LayerSpecification } from 'maplibre-gl'
import { asStrong } from './layer-strengths.js'
import { asInUse, type Held } from './layers-in-use.js'
import { ownPlaceLayers } from './own-place-layers.js'

/** How the plan is lit: paper by day, slate by night, black on white in the sun. */
export type Theme = 'paper' | 'night' | 'sunlight'

/** One of the three questions whose evidence stands out while the rest is dimmed. */
export type Evidence = 'ridge' | 'building' | 'spill'

interface StormShares {
  readonly fill_ratio: number
  readonly spill_ratio: number
}

/** Everything that the look of the plan depends on. */
export interface PlanLook {
  readonly theme: Theme
  readonly ramp: Ramp
  /** How strong each group is shown, 0 (put away) to 1. */
  readonly strengths: Readonly<Record<LayerGroup, number>>
  readonly focus: Evidence | null
  readonly chosen: string | null
  /** Rank of the possible line that stands out. */
  readonly found: number | null
  /** The storm at one of its hours: where it spills, how full the ditch stands and how strong it spills, as parts of the most; null: none is followed. */
  readonly storm:
    | (StormShares & { readonly chainage_m: number; readonly others: readonly (StormShares & { readonly line: number })[] })
    | null
  /** What lies on the plan. */
  readonly held: Held
}

/** The sources that the layers draw. */
export const SOURCES = ['contours', 'no-go', 'halos', 'features', 'answer', 'siting', 'work', 'draft', 'own-place'] as const
export type SourceName = (typeof SOURCES)[number]

const SUN: Inks = {
  paper: '#FFFFFF',
  ink: '#000000',
  faint: '#595959',
  contour: '#4A3214',
  ditch: '#002B4A',
  water: '#00508C',
  noGo: '#6B2C1E',
  growth: '#2F4A1C',
}

/** The inks of a theme. */
export const inksOf = (theme: Theme): Inks => (theme === 'night' ? NIGHT : theme === 'sunlight' ? SUN : DAY)

/** Bundled with the page; no glyph files are fetched. */
const FONT = ['Noto Sans']

const DIMMED = 0.25

/**
 * The layers of the plan, from the ground up.
 *
 * Laws   the same look gives the same layers, with the same names in the same order for every look: a change of look changes paint, never structure.
 */
export const planLayers = (look: PlanLook): LayerSpecification[] =>
  layersOf(look).map(layer => asInUse(asStrong(layer, look.strengths), look.held))

function layersOf({ theme, focus, chosen, found, storm }: PlanLook): LayerSpecification[] {
  const inks = inksOf(theme)
  const sun = theme === 'sunlight'
  const bold = sun ? 1.6 : 1
  /** Opacity of what belongs to the evidence of these questions. */
  const lit = (opacity: number, ...questions: Evidence[]): number =>
    focus === null || questions.includes(focus) ? opacity : opacity * DIMMED
  const what = (...names: string[]): FilterSpecification => ['in', ['get', 'what'], ['literal', names]]
  const kind = (...names: string[]): FilterSpecification => ['in', ['get', 'kind'], ['literal', names]]
  const isChosen: FilterSpecification = ['==', ['get', 'id'], chosen ?? '']
  const ofShape = (shape: 'Point' | 'LineString' | 'Polygon', filter: FilterSpecification): FilterSpecification =>
    ['all', ['==', ['geometry-type'], shape], filter] as FilterSpecification
  /** Thinner on a plan that shows much. */
  const byZoom = (far: number, near: number): ExpressionSpecification => ['interpolate', ['linear'], ['zoom'], 14, far, 16.5, near]
  const halo = { 'text-halo-color': inks.paper, 'text-halo-width': 1.6 } as const
  const wide = (base: number): number => base * bold
  /** Something of each other swale in the storm; 0 for those that are not followed. */
  const byLine = (of: (shares: StormShares) => number): ExpressionSpecification | number => {
    const others = storm?.others ?? []
    if (others.length === 0) return 0
    return ['match', ['get', 'line'], ...others.flatMap(one => [one.line, of(one)]), 0] as unknown as ExpressionSpecification
  }
  // The better spill stands out, and so does a way that reaches a building, whatever its rank.
  const telling = ['any', ['==', ['get', 'rank'], 1], ['==', ['get', 'reachesBuilding'], true]] as const
  const better = ['case', telling, 1, 0.6] as const

  return [
    { id: 'paper', type: 'background', paint: { 'background-color': inks.paper } },
    {
      id: 'ground',
      type: 'raster',
      source: 'ground',
      paint: {
        'raster-fade-duration': 0,
        'raster-saturation': sun ? -0.85 : 0,
        'raster-brightness-min': sun ? 0.45 : 0,
        'raster-opacity': focus === null ? 1 : 0.85,
        'raster-resampling': 'linear',
      },
    },

    // Drawn ground covers: quiet, below the contours.
    {
      id: 'wood',
      type: 'fill',
      source: 'features',
      filter: ofShape('Polygon', kind('forest')),
      paint: { 'fill-color': inks.growth, 'fill-opacity': sun ? 0.12 : 0.2 },
    },
    {
      id: 'wood-sign',
      type: 'fill',
      source: 'features',
      filter: ofShape('Polygon', kind('forest')),
      paint: { 'fill-pattern': 'wood', 'fill-opacity': 0.75 },
    },
    {
      id: 'marsh',
      type: 'fill',
      source: 'features',
      filter: ofShape('Polygon', kind('wet')),
      paint: { 'fill-color': inks.water, 'fill-opacity': 0.12 },
    },
    {
      id: 'marsh-sign',
      type: 'fill',
      source: 'features',
      filter: ofShape('Polygon', kind('wet')),
      paint: { 'fill-pattern': 'marsh', 'fill-opacity': 0.8 },
    },

    {
      id: 'no-go',
      type: 'fill',
      source: 'no-go',
      paint: { 'fill-pattern': ['concat', 'no-go-', ['get', 'reason']], 'fill-opacity': lit(sun ? 0.9 : 0.55) },
    },

    {
      id: 'contour',
      type: 'line',
      source: 'contours',
      filter: ['!', ['get', 'heavy']],
      paint: { 'line-color': inks.contour, 'line-width': byZoom(wide(0.35), wide(0.75)), 'line-opacity': 0.6 },
    },
    {
      id: 'contour-heavy',
      type: 'line',
      source: 'contours',
      filter: ['get', 'heavy'],
      paint: { 'line-color': inks.contour, 'line-width': byZoom(wide(0.75), wide(1.5)), 'line-opacity': 0.85 },
    },

    // The level that the line lies on stands out from the other contours.
    {
      id: 'level-line',
      type: 'line',
      source: 'answer',
      filter: what('level-line'),
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: { 'line-color': inks.ditch, 'line-width': wide(1.3), 'line-opacity': lit(0.75) },
    },

    // Heights on contours lie below the answer: a ditch is never interrupted by a number.
    {
      id: 'contour-height',
      type: 'symbol',
      source: 'contours',
      filter: ['get', 'heavy'],
      layout: {
        'symbol-placement': 'line',
        'symbol-spacing': 320,
        'text-field': ['get', 'label'],
        'text-font': FONT,
        'text-size': sun ? 13 : 11,
        'text-max-angle': 25,
        'text-padding': 4,
      },
      paint: { 'text-color': inks.contour, ...halo },
    },

    {
      id: 'catchment',
      type: 'fill',
      source: 'answer',
      filter: what('catchment'),
      paint: { 'fill-color': inks.water, 'fill-opacity': lit(theme === 'night' ? 0.2 : 0.17, 'ridge') },
    },
    {
      id: 'catchment-rim',
      type: 'line',
      source: 'answer',
      filter: what('catchment'),
      paint: { 'line-color': inks.water, 'line-width': wide(0.8), 'line-opacity': lit(0.55, 'ridge') },
    },
    {
      id: 'fall-lines',
      type: 'line',
      source: 'answer',
      filter: what('fall-line'),
      layout: { 'line-cap': 'round' },
      paint: { 'line-color': inks.water, 'line-width': wide(0.9), 'line-opacity': lit(0.45, 'ridge') },
    },
    {
      id: 'band',
      type: 'fill',
      source: 'answer',
      filter: what('band'),
      paint: { 'fill-color': inks.water, 'fill-opacity': lit(0.09, 'building', 'spill') },
    },
    {
      id: 'band-sign',
      type: 'fill',
      source: 'answer',
      filter: what('band'),
      paint: { 'fill-pattern': 'stipple', 'fill-opacity': lit(0.85, 'building', 'spill') },
    },

    // What is drawn on the holding.
    {
      id: 'stream',
      type: 'line',
      source: 'features',
      filter: kind('stream'),
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: { 'line-color': inks.water, 'line-width': wide(2), 'line-opacity': 0.9 },
    },
    {
      id: 'track-rim',
      type: 'line',
      source: 'features',
      filter: kind('track'),
      layout: { 'line-join': 'round' },
      paint: { 'line-color': inks.ink, 'line-width': wide(0.9), 'line-gap-width': 3.2, 'line-opacity': 0.75 },
    },
    {
      id: 'track',
      type: 'line',
      source: 'features',
      filter: kind('track'),
      layout: { 'line-join': 'round' },
      paint: { 'line-color': inks.paper, 'line-width': 3.2, 'line-opacity': 0.85 },
    },
    {
      id: 'utility',
      type: 'line',
      source: 'features',
      filter: kind('utility'),
      paint: { 'line-color': inks.ink, 'line-width': wide(1.2), 'line-dasharray': [6, 3, 1, 3], 'line-opacity': 0.75 },
    },
    {
      id: 'boundary',
      type: 'line',
      source: 'features',
      filter: kind('boundary'),
      paint: { 'line-color': inks.ink, 'line-width': wide(1.5), 'line-dasharray': [9, 3, 2, 3], 'line-opacity': 0.8 },
    },
    { id: 'wall', type: 'line', source: 'features', filter: kind('wall'), paint: { 'line-color': inks.faint, 'line-width': wide(3) } },
    {
      id: 'culvert',
      type: 'line',
      source: 'features',
      filter: kind('culvert'),
      paint: { 'line-color': inks.water, 'line-width': wide(2.4), 'line-dasharray': [1.2, 0.8] },
    },
    {
      id: 'wood-rim',
      type: 'line',
      source: 'features',
      filter: kind('forest'),
      layout: { 'line-cap': 'round' },
      paint: { 'line-color': inks.growth, 'line-width': wide(1.3), 'line-dasharray': [0.2, 2.2] },
    },
    {
      id: 'marsh-rim',
      type: 'line',
      source: 'features',
      filter: kind('wet'),
      paint: { 'line-color': inks.water, 'line-width': wide(1), 'line-dasharray': [3, 2] },
    },
    {
      id: 'other-rim',
      type: 'line',
      source: 'features',
      filter: kind('septic', 'slip', 'pit', 'well', 'spring'),
      paint: { 'line-color': inks.ink, 'line-width': wide(1), 'line-dasharray': [2, 1.6] },
    },
    {
      id: 'halo',
      type: 'line',
      source: 'halos',
      paint: { 'line-color': inks.ink, 'line-width': wide(0.8), 'line-opacity': lit(0.6, 'building', 'spill') },
    },

    // The answer.
    {
      id: 'ridge',
      type: 'line',
      source: 'answer',
      filter: what('ridge'),
      layout: { 'line-cap': 'round' },
      paint: { 'line-color': inks.contour, 'line-width': wide(3), 'line-dasharray': [0.1, 1.9], 'line-opacity': lit(1, 'ridge') },
    },
    {
      id: 'beyond',
      type: 'line',
      source: 'answer',
      filter: what('beyond'),
      layout: { 'line-join': 'round' },
      paint: { 'line-color': inks.water, 'line-width': wide(1.4), 'line-dasharray': [2, 2], 'line-opacity': lit(0.8, 'building', 'spill') },
    },
    {
      id: 'path',
      type: 'line',
      source: 'answer',
      filter: what('path'),
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: {
        'line-color': inks.water,
        'line-width': ['*', ['case', telling as never, 2.6, 1.8], bold],
        'line-opacity': ['*', better as never, lit(1, 'building', 'spill')],
      },
    },
    {
      id: 'path-arrows',
      type: 'symbol',
      source: 'answer',
      filter: what('path', 'beyond'),
      layout: {
        'symbol-placement': 'line',
        'symbol-spacing': 44,
        'icon-image': 'arrow',
        'icon-size': 1.15,
        'icon-allow-overlap': true,
        'icon-ignore-placement': true,
        'icon-rotation-alignment': 'map',
      },
      paint: { 'icon-opacity': ['*', better as never, lit(1, 'building', 'spill')] },
    },

    {
      id: 'building',
      type: 'fill',
      source: 'features',
      filter: ofShape('Polygon', kind('building')),
      paint: { 'fill-color': inks.ink, 'fill-outline-color': inks.paper },
    },
    {
      id: 'building-point',
      type: 'circle',
      source: 'features',
      filter: ofShape('Point', kind('building')),
      paint: { 'circle-color': inks.ink, 'circle-radius': 5 },
    },
    {
      id: 'point-sign',
      type: 'symbol',
      source: 'features',
      filter: ['all', ['==', ['geometry-type'], 'Point'], ['!=', ['get', 'kind'], 'building']],
      layout: {
        'icon-image': ['match', ['get', 'kind'], 'spring', 'spring', 'well', 'well', 'place'],
        'icon-allow-overlap': true,
        'icon-ignore-placement': true,
      },
    },

    {
      id: 'berm',
      type: 'line',
      source: 'answer',
      filter: what('berm-stroke'),
      minzoom: 14,
      paint: { 'line-color': inks.ditch, 'line-width': wide(1.1) },
    },
    // Where water ran in the tried terrains: any of them dotted, a tenth of them in short dashes, half of them in long ones.
    ...(
      [
        ['tried-any', 0, [1, 2.5]],
        ['tried-tenth', 0.1, [2.5, 1.5]],
        ['tried-half', 0.5, [6, 1.5]],
      ] as const
    ).map(
      ([id, share, dashes]): LayerSpecification => ({
        id,
        type: 'line',
        source: 'answer',
        filter: ['all', what('tried'), ['==', ['get', 'share_ratio'], share]] as FilterSpecification,
        paint: {
          'line-color': inks.water,
          'line-width': wide(1.2),
          'line-dasharray': [...dashes],
          'line-opacity': ['*', better as never, lit(0.85, 'building', 'spill')],
        },
      }),
    ),
    {
      id: 'breach',
      type: 'line',
      source: 'answer',
      filter: what('breach'),
      layout: { 'line-cap': 'butt', 'line-join': 'round' },
      paint: { 'line-color': inks.noGo, 'line-width': wide(2), 'line-dasharray': [0.8, 1.6], 'line-opacity': lit(0.9, 'building') },
    },
    // What lies below the berm if it gives way there: a building solid and broad, other things of value dashed, unknown dotted; nothing is not drawn.
    ...(
      [
        ['breach-building', ['building'], inks.noGo, 10, null],
        ['breach-value', ['septic', 'well', 'track', 'boundary', 'utility'], inks.noGo, 8, [0.7, 0.5]],
        ['breach-unknown', ['not-known'], inks.faint, 7, [0.3, 0.7]],
      ] as const
    ).map(
      ([id, below, color, width, dashes]): LayerSpecification => ({
        id,
        type: 'line',
        source: 'answer',
        filter: ['all', what('breach-stake'), ['in', ['get', 'below'], ['literal', [...below]]]] as FilterSpecification,
        paint: {
          'line-color': color,
          'line-width': wide(width),
          'line-opacity': lit(0.55, 'building'),
          ...(dashes ? { 'line-dasharray': [...dashes] } : {}),
        },
      }),
    ),
    {
      id: 'line-rim',
      type: 'line',
      source: 'answer',
      filter: what('line'),
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: { 'line-color': inks.paper, 'line-width': wide(6), 'line-opacity': 0.75 },
    },
    {
      id: 'line',
      type: 'line',
      source: 'answer',
      filter: what('line'),
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: { 'line-color': inks.ditch, 'line-width': wide(3.4) },
    },

    // The storm at one of its hours: the ditch fills, and what it spills runs down its way.
    {
      id: 'storm-way',
      type: 'line',
      source: 'answer',
      filter: ['all', what('path', 'beyond'), ['==', ['get', 'chainage_m'], storm?.chainage_m ?? -1]] as FilterSpecification,
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: {
        'line-color': inks.water,
        'line-width': wide(3 + 7 * (storm?.spill_ratio ?? 0)),
        'line-opacity': storm === null || storm.spill_ratio === 0 ? 0 : 0.75,
      },
    },
    {
      id: 'storm-water',
      type: 'line',
      source: 'answer',
      filter: what('line'),
      layout: { 'line-cap': 'butt', 'line-join': 'round' },
      paint: {
        'line-color': inks.water,
        'line-width': wide(4 + 8 * (storm?.fill_ratio ?? 0)),
        'line-opacity': storm === null ? 0 : 0.25 + 0.6 * storm.fill_ratio,
      },
    },

    // Other swales of the plan with their water, and the design that this one is compared with.
    {
      id: 'storm-other-way',
      type: 'line',
      source: 'siting',
      filter: what('other-way'),
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: {
        'line-color': inks.water,
        'line-width': byLine(({ spill_ratio }) => wide(3 + 7 * spill_ratio)),
        'line-opacity': byLine(({ spill_ratio }) => (spill_ratio === 0 ? 0 : 0.75)),
      },
    },
    {
      id: 'storm-other-water',
      type: 'line',
      source: 'siting',
      filter: what('other-line'),
      layout: { 'line-cap': 'butt', 'line-join': 'round' },
      paint: {
        'line-color': inks.water,
        'line-width': byLine(({ fill_ratio }) => wide(4 + 8 * fill_ratio)),
        'line-opacity': byLine(({ fill_ratio }) => 0.25 + 0.6 * fill_ratio),
      },
    },
    {
      id: 'other-line',
      type: 'line',
      source: 'siting',
      filter: what('other-line'),
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: { 'line-color': inks.ditch, 'line-width': wide(2.4), 'line-opacity': lit(0.85) },
    },
    {
      id: 'design-a',
      type: 'line',
      source: 'siting',
      filter: what('design-a'),
      layout: { 'line-join': 'round' },
      paint: { 'line-color': inks.ink, 'line-width': wide(1.8), 'line-dasharray': [5, 2, 1, 2], 'line-opacity': lit(0.9) },
    },
    {
      id: 'other-line-name',
      type: 'symbol',
      source: 'siting',
      filter: what('other-line', 'design-a'),
      layout: {
        'symbol-placement': 'line-center',
        'text-field': ['get', 'label'],
        'text-font': FONT,
        'text-size': 13,
        'text-offset': [0, -0.8],
        'text-rotation-alignment': 'viewport',
        'text-allow-overlap': true,
      },
      paint: { 'text-color': inks.ditch, 'text-opacity': lit(1), ...halo },
    },

    // Possible lines: the one looked at in the list stands out.
    {
      id: 'candidate-rim',
      type: 'line',
      source: 'siting',
      filter: what('candidate'),
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: { 'line-color': inks.paper, 'line-width': wide(5), 'line-opacity': lit(0.7) },
    },
    {
      id: 'candidate',
      type: 'line',
      source: 'siting',
      filter: what('candidate'),
      layout: { 'line-join': 'round' },
      paint: {
        'line-color': inks.growth,
        'line-width': ['case', ['==', ['get', 'rank'], found ?? 0], wide(5), wide(2.2)],
        'line-dasharray': [3, 1.2],
        'line-opacity': found === null ? lit(1) : ['case', ['==', ['get', 'rank'], found], 1, 0.45],
      },
    },
    {
      id: 'candidate-name',
      type: 'symbol',
      source: 'siting',
      filter: what('candidate'),
      layout: {
        'symbol-placement': 'line-center',
        'text-field': ['get', 'label'],
        'text-font': FONT,
        'text-size': 13,
        'text-rotation-alignment': 'viewport',
        'text-allow-overlap': true,
      },
      paint: { 'text-color': inks.growth, 'text-opacity': lit(1), ...halo },
    },
    {
      id: 'outlet',
      type: 'circle',
      source: 'siting',
      filter: what('outlet'),
      paint: {
        'circle-color': inks.paper,
        'circle-stroke-color': inks.water,
        'circle-stroke-width': ['case', ['==', ['get', 'label'], ''], 1.2, 2],
        'circle-radius': ['case', ['==', ['get', 'label'], ''], 3, 8],
        'circle-opacity': lit(1),
        'circle-stroke-opacity': lit(1),
      },
    },
    {
      id: 'outlet-name',
      type: 'symbol',
      source: 'siting',
      filter: what('outlet'),
      layout: { 'text-field': ['get', 'label'], 'text-font': FONT, 'text-size': 11, 'text-allow-overlap': true },
      paint: { 'text-color': inks.water, 'text-opacity': lit(1) },
    },
    {
      id: 'soil-seen',
      type: 'circle',
      source: 'siting',
      filter: what('seen'),
      paint: { 'circle-color': inks.noGo, 'circle-stroke-color': inks.paper, 'circle-stroke-width': 1.5, 'circle-radius': 4 },
    },
    {
      id: 'soil-pit',
      type: 'circle',
      source: 'siting',
      filter: what('pit'),
      paint: { 'circle-color': inks.paper, 'circle-stroke-color': inks.contour, 'circle-stroke-width': 2.5, 'circle-radius': 8 },
    },
    {
      id: 'soil-pit-number',
      type: 'symbol',
      source: 'siting',
      filter: what('pit'),
      layout: {
        'text-field': ['get', 'label'],
        'text-font': FONT,
        'text-size': 11,
        'text-allow-overlap': true,
        'text-ignore-placement': true,
      },
      paint: { 'text-color': inks.ink },
    },

    // The work on the ground: places to plant, low spots of the berm, stakes.
    {
      id: 'plant-zone',
      type: 'fill',
      source: 'work',
      filter: what('plant-zone'),
      minzoom: 15.5,
      paint: {
        'fill-color': inks.growth,
        'fill-opacity': [
          'match',
          ['get', 'zone'],
          'erosion-strip',
          0.6,
          'wet-edge',
          0.42,
          'crest',
          0.3,
          'dry-edge',
          0.42,
          'soak-zone',
          0.18,
          0.06,
        ],
      },
    },
    {
      id: 'plant-zone-rim',
      type: 'line',
      source: 'work',
      filter: what('plant-zone'),
      minzoom: 16.5,
      paint: { 'line-color': inks.growth, 'line-width': wide(0.6), 'line-opacity': 0.8 },
    },
    {
      id: 'low-spot',
      type: 'line',
      source: 'work',
      filter: what('low-spot'),
      layout: { 'line-cap': 'butt' },
      paint: { 'line-color': inks.noGo, 'line-width': wide(9), 'line-opacity': 0.75 },
    },
    {
      id: 'stake',
      type: 'circle',
      source: 'work',
      filter: what('stake'),
      paint: {
        'circle-color': ['case', ['get', 'named'], inks.ditch, inks.paper],
        'circle-stroke-color': ['case', ['get', 'named'], inks.paper, inks.ditch],
        'circle-stroke-width': byZoom(wide(0.8), wide(1.6)),
        'circle-radius': [
          'interpolate',
          ['linear'],
          ['zoom'],
          15,
          ['case', ['get', 'named'], 3, 1.6],
          18,
          ['case', ['get', 'named'], 6, 4.5],
        ],
      },
    },
    {
      id: 'stake-number',
      type: 'symbol',
      source: 'work',
      filter: what('stake'),
      layout: {
        'text-field': ['get', 'label'],
        'text-font': FONT,
        'text-size': 11,
        'text-variable-anchor': ['top', 'bottom', 'left', 'right'],
        'text-radial-offset': 0.7,
        'symbol-sort-key': ['case', ['get', 'named'], 0, 1],
      },
      paint: { 'text-color': inks.ink, ...halo },
    },

    // What is being drawn, and what is chosen.
    {
      id: 'draft-ground',
      type: 'fill',
      source: 'draft',
      filter: ['==', ['geometry-type'], 'Polygon'],
      paint: { 'fill-color': inks.ink, 'fill-opacity': 0.1 },
    },
    {
      id: 'draft-line',
      type: 'line',
      source: 'draft',
      layout: { 'line-join': 'round' },
      paint: { 'line-color': inks.ink, 'line-width': wide(1.8), 'line-dasharray': [2.5, 1.5] },
    },
    {
      id: 'draft-place',
      type: 'circle',
      source: 'draft',
      filter: ['==', ['geometry-type'], 'Point'],
      paint: { 'circle-color': inks.paper, 'circle-stroke-color': inks.ink, 'circle-stroke-width': 1.8, 'circle-radius': 4.5 },
    },
    {
      id: 'chosen',
      type: 'line',
      source: 'features',
      filter: isChosen,
      layout: { visibility: chosen === null ? 'none' : 'visible' },
      paint: { 'line-color': inks.ditch, 'line-width': wide(2.2) },
    },
    {
      id: 'chosen-place',
      type: 'circle',
      source: 'features',
      filter: ['all', ['==', ['geometry-type'], 'Point'], isChosen] as FilterSpecification,
      layout: { visibility: chosen === null ? 'none' : 'visible' },
      paint: { 'circle-color': 'rgba(0,0,0,0)', 'circle-stroke-color': inks.ditch, 'circle-stroke-width': 2.2, 'circle-radius': 12 },
    },

    // Lettering.
    {
      id: 'feature-name',
      type: 'symbol',
      source: 'features',
      filter: [
        'all',
        ['has', 'label'],
        ['!', ['in', ['get', 'kind'], ['literal', ['boundary', 'stream', 'track', 'utility', 'wall', 'culvert']]]],
      ],
      layout: {
        'text-field': ['get', 'label'],
        'text-font': FONT,
        'text-size': 12,
        'text-variable-anchor': ['top', 'bottom', 'right', 'left'],
        'text-radial-offset': 1.1,
        'text-max-width': 9,
        'text-justify': 'auto',
      },
      paint: { 'text-color': inks.ink, ...halo },
    },
    {
      id: 'line-name',
      type: 'symbol',
      source: 'features',
      filter: ['all', ['has', 'label'], ['in', ['get', 'kind'], ['literal', ['stream', 'track', 'utility', 'wall', 'culvert']]]],
      layout: {
        'symbol-placement': 'line',
        'symbol-spacing': 400,
        'text-field': ['get', 'label'],
        'text-font': FONT,
        'text-size': 11,
        'text-offset': [0, -0.9],
        'text-max-angle': 30,
      },
      paint: { 'text-color': ['case', ['==', ['get', 'kind'], 'stream'], inks.water, inks.ink], ...halo },
    },
    {
      id: 'high-point',
      type: 'symbol',
      source: 'answer',
      filter: what('high-point'),
      layout: {
        'icon-image': 'high-point',
        'icon-allow-overlap': true,
        'text-field': ['get', 'label'],
        'text-font': FONT,
        'text-size': 12,
        'text-anchor': 'bottom',
        'text-offset': [0, -0.8],
        'text-allow-overlap': true,
      },
      paint: { 'text-color': inks.contour, 'text-opacity': lit(1, 'ridge'), 'icon-opacity': lit(1, 'ridge'), ...halo },
    },
    {
      id: 'path-end',
      type: 'symbol',
      source: 'answer',
      filter: what('path-end'),
      layout: {
        'text-field': ['get', 'label'],
        'text-font': FONT,
        'text-size': 12,
        'text-variable-anchor': ['left', 'right', 'top', 'bottom'],
        'text-radial-offset': 0.7,
        'symbol-sort-key': ['get', 'rank'],
      },
      paint: { 'text-color': inks.water, 'text-opacity': lit(1, 'building', 'spill'), ...halo },
    },
    ...ownPlaceLayers(inks, bold),
  ]
}
