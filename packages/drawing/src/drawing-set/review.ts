import type { Verdict } from 'soakline/foundation'
import { formatEarth } from '../measures.js'
import { baseName } from '../report.js'
import { sayPathEnd, saySource, wordsOf } from '../sentences.js'
import type { Sentence } from '../templates.js'
import type { Desk } from './sheet.js'

/** One point that a careful reviewer asks about. `holds`: given in the set; `watch`: in part; `unknown`: not given. */
export interface ReviewPoint {
  readonly asked: string
  readonly given: string
  readonly state: Extract<Verdict, 'holds' | 'watch' | 'unknown'>
}

type Point = readonly [asked: Sentence, given: Sentence]

/** The points in their order. Source: FAILURES, what a careful expert reviewer will demand in the report. */
const POINTS = [
  [
    {
      en: 'Height data: source, date, kind, cell, reference, stated error, hash',
      es: 'Datos de altura: fuente, fecha, clase, celda, referencia, error declarado, hash',
    },
    {
      en: 'File {file}, cells of {cell_m:length}, {crs}; error of heights {elevationError_m:height?not stated} (one standard error); hash in the title block. Sensor, date and whether it shows ground or treetops: ask whoever made it.',
      es: 'Archivo {file}, celdas de {cell_m:length}, {crs}; error de las alturas {elevationError_m:height?sin declarar} (un error estándar); hash en el cajetín. Sensor, fecha y si muestra el suelo o las copas: pregunte a quien lo hizo.',
    },
  ],
  [
    { en: 'Every change made to it', es: 'Todo cambio que se le hizo' },
    {
      en: 'Only what was drawn: {culverts:number} culverts lowered, {walls:number} walls raised; hollows as chosen. Nothing else was filled or cut. No map of differences is in this set.',
      es: 'Solo lo dibujado: {culverts:number} alcantarillas bajadas, {walls:number} muros levantados; hoyas como se eligió. No se rellenó ni se cortó nada más. Este juego no trae mapa de diferencias.',
    },
  ],
  [
    { en: 'Methods by name, flow model, ties and flats', es: 'Métodos por su nombre, modelo de flujo, empates y llanos' },
    {
      en: 'Water shared between two neighboring cells by the vector of the slope; ties shared evenly; over flats the shortest way to where they drain. Runoff and time as on the sheet of storms. Sources stand beside each finding.',
      es: 'El agua se reparte entre dos celdas vecinas según el vector de la pendiente; los empates por igual; por los llanos, el camino más corto hasta donde escurren. Escurrimiento y tiempo como en la hoja de aguaceros. Las fuentes van junto a cada resultado.',
    },
  ],
  [
    { en: 'Edges and gaps of the data', es: 'Bordes y vacíos de los datos' },
    {
      en: 'Share of the line’s water that could come in from beyond an edge or a gap: {edgeShare_ratio:slope}; cells without data: {voidCells:number}.',
      es: 'Parte del agua de la línea que podría entrar desde más allá de un borde o un vacío: {edgeShare_ratio:slope}; celdas sin dato: {voidCells:number}.',
    },
  ],
  [
    { en: 'Area of the catchment with its range', es: 'Área que escurre, con su margen' },
    {
      en: '{area_m2:area}[; {low_m2:area} to {high_m2:area} in 8 of 10 of {runs:number} tried terrains]. No map of chances is in this set.',
      es: '{area_m2:area}[; de {low_m2:area} a {high_m2:area} en 8 de cada 10 de {runs:number} terrenos probados]. Este juego no trae mapa de probabilidades.',
    },
  ],
  [
    { en: 'A second, independent way', es: 'Una segunda vía, independiente' },
    {
      en: 'Not made for this plan. Ask for the catchment by another program on the same raster.',
      es: 'No se hizo para este plan. Pida el área que escurre con otro programa sobre el mismo ráster.',
    },
  ],
  [
    { en: 'Rain: source, durations, chances, climate', es: 'Lluvia: fuente, duraciones, probabilidades, clima' },
    {
      en: '{storms:number} storms from the rain table that was given; judged by {chancePerYear:chance}. Station, date and allowance for a changing climate: ask whoever made the table.',
      es: '{storms:number} aguaceros de la tabla de lluvias que se dio; se mide con {chancePerYear:chance}. Estación, fecha y margen por el cambio del clima: pregunte a quien hizo la tabla.',
    },
  ],
  [
    { en: 'Soil group, cover, runoff number, spread', es: 'Grupo de suelo, cobertura, número de escurrimiento, margen' },
    {
      en: 'Number {curveNumber:number} ({curveNumberSource}); the spread by 5 to either side and by dry and wet ground stands on the sheet of storms.',
      es: 'Número {curveNumber:number} ({curveNumberSource}); el margen de 5 a cada lado y de suelo seco y mojado está en la hoja de aguaceros.',
    },
  ],
  [
    { en: 'Time of concentration', es: 'Tiempo de concentración' },
    { en: '{time_h:duration}, {method}.', es: '{time_h:duration}, {method}.' },
  ],
  [
    { en: 'Storage, freeboard, settlement, drain-down', es: 'Agua guardada, borde libre, asentamiento, vaciado' },
    {
      en: '{toSill_m3:volume?not known} to where the first water leaves, {toCrest_m3:volume?not known} to the crest; freeboard asked {freeboard_m:height}; settlement {settlement_ratio:slope}; empties in {emptyAfter_h:duration?a time not known}. Storms one upon another: the worst case begins with a full ditch.',
      es: '{toSill_m3:volume?sin dato} hasta donde sale la primera agua, {toCrest_m3:volume?sin dato} hasta la corona; borde libre pedido {freeboard_m:height}; asentamiento {settlement_ratio:slope}; se vacía en {emptyAfter_h:duration?un tiempo que no se sabe}. Un aguacero sobre otro: el peor caso parte con la zanja llena.',
    },
  ],
  [
    { en: 'Spill: place, equation, head, speed, capacity', es: 'Vertedero: lugar, ecuación, carga, velocidad, capacidad' },
    {
      en: '{chainage_m:length?Not known} along the line, {length_m:length?not known} long, head {spillHead_m:height}; Q = C L H^1.5 with C from the settings; inflow at its most {peakInflow_m3s:flow?not known} on wet ground, from the larger end of the catchments of the tried terrains where any were tried.',
      es: 'A {chainage_m:length?sin dato} del comienzo, {length_m:length?sin dato} de largo, carga {spillHead_m:height}; Q = C L H^1.5 con C de los ajustes; lo más que entra {peakInflow_m3s:flow?sin dato} con suelo mojado, del extremo mayor de las cuencas de los terrenos ensayados, si se ensayó alguno.',
    },
  ],
  [
    { en: 'Ways of overflow and breach to the boundary', es: 'Caminos del rebalse y de la rotura hasta el lindero' },
    {
      en: '{spills:number} places to spill traced; the best {endsIn}. Breach: {breaches:number?not traced} places along the berm. What lies on them stands among the findings.',
      es: '{spills:number} lugares para rebalsar, trazados; el mejor {endsIn}. Rotura: {breaches:number?sin trazar} lugares del camellón. Lo que queda en su camino está en los resultados.',
    },
  ],
  [
    { en: 'Stability, seepage, soil', es: 'Firmeza, filtración, suelo' },
    {
      en: 'Not assessed as an engineer would. Only hints of a steep or weak slope are flagged; {pits:number} test pits are recorded.',
      es: 'No se evaluó como lo haría un ingeniero. Solo se avisa de ladera fuerte o floja; hay {pits:number} calicatas anotadas.',
    },
  ],
  [
    { en: 'No-go ground: source, date, completeness', es: 'Suelo vedado: fuente, fecha, si está completo' },
    {
      en: '{features:number} features were drawn by the user; all buildings down to the stream drawn: {allBuildings}. Their date is not recorded.',
      es: 'El usuario dibujó {features:number} elementos; todas las construcciones hasta la quebrada dibujadas: {allBuildings}. Su fecha no consta.',
    },
  ],
  [
    { en: 'Earthwork: method and doubt', es: 'Movimiento de tierra: método y duda' },
    {
      en: '{cut?Not known} by average end areas, {prismoidal?not known} by the prismoidal rule. The doubt of the raster’s heights comes on top.',
      es: '{cut?Sin dato} por áreas medias, {prismoidal?sin dato} por la regla del prismoide. A eso se suma la duda de las alturas del ráster.',
    },
  ],
  [
    { en: 'Stakes: coordinates, error, field check', es: 'Estacas: coordenadas, error, revisión en el sitio' },
    {
      en: '{stakes:number?No} stakes with coordinates in {crs}, doubt, and columns for what is read on site.',
      es: '{stakes:number?Sin} estacas con coordenadas en {crs}, duda, y columnas para lo que se lee en el sitio.',
    },
  ],
  [
    { en: 'What was not considered', es: 'Lo que no se consideró' },
    { en: 'Listed on the sheet “Before you dig”.', es: 'Está en la hoja “Antes de cavar”.' },
  ],
  [
    { en: 'Valid until when', es: 'Hasta cuándo vale' },
    {
      en: 'No date: it ends with any change of the line, the settings, the data or the ground, new buildings below, fire or clearing above.',
      es: 'Sin fecha: termina con cualquier cambio de la línea, los ajustes, los datos o el terreno, construcción nueva abajo, fuego o desmonte arriba.',
    },
  ],
  [
    { en: 'To work it out again', es: 'Para calcularlo de nuevo' },
    {
      en: 'Soakline {version}; settings in this set and in the plan file; tried terrains {runs:number?none}, from a fixed seed.',
      es: 'Soakline {version}; ajustes en este juego y en el archivo del plan; terrenos probados {runs:number?ninguno}, con semilla fija.',
    },
  ],
  [
    { en: 'Who confirmed what', es: 'Quién confirmó qué' },
    {
      en: 'Permissions marked as asked: {permissions}. {assumed:number} settings are assumed, {given:number} were given. Soakline has seen no permit. Signatures below.',
      es: 'Permisos marcados como consultados: {permissions}. {assumed:number} ajustes son supuestos, {given:number} fueron dados. Soakline no vio ningún permiso. Firmas abajo.',
    },
  ],
] as const satisfies readonly Point[]

/** Each point with what this plan has of it. */
export function reviewPoints({ input, voice, tell }: Desk): ReviewPoint[] {
  const words = wordsOf(voice)
  const { assessment: a, settings, features, papers } = input
  const { catchment, ground, storage, spillway, earth, runoff, soaking } = a
  const count = (kind: string): number => features.filter(f => f.kind === kind).length
  const best = [...a.spills].sort((p, q) => p.rank - q.rank)[0]
  const method = runoff.gatheringTime.method
  const ranged = typeof catchment.low_m2 === 'number'
  const yesNo = (value: boolean): string => (value ? words.yes : words.no)
  const facts: readonly (readonly [state: ReviewPoint['state'], values: Readonly<Record<string, unknown>>])[] = [
    [
      'watch',
      { file: baseName(input.groundReport.fileName), cell_m: ground.cell_m, crs: ground.crs, elevationError_m: ground.elevationError_m },
    ],
    ['watch', { culverts: count('culvert'), walls: count('wall') }],
    ['holds', {}],
    ['holds', { edgeShare_ratio: catchment.edgeShare_ratio, voidCells: ground.voidCells }],
    [
      ranged ? 'watch' : 'unknown',
      { area_m2: catchment.area_m2, low_m2: catchment.low_m2, high_m2: catchment.high_m2, runs: catchment.runs },
    ],
    ['unknown', {}],
    [a.storms.length > 0 ? 'watch' : 'unknown', { storms: a.storms.length, chancePerYear: a.acceptance.chancePerYear }],
    ['holds', { curveNumber: runoff.curveNumber, curveNumberSource: saySource(runoff.curveNumberSource, voice) }],
    ['holds', { time_h: runoff.gatheringTime.time_h, method: words.choice[method] ?? method }],
    [
      storage === null || soaking.emptyAfter_h === null ? 'watch' : 'holds',
      {
        toSill_m3: storage?.toSill_m3,
        toCrest_m3: storage?.toCrest_m3,
        freeboard_m: a.acceptance.freeboard_m,
        settlement_ratio: settings.settlement_ratio,
        emptyAfter_h: soaking.emptyAfter_h,
      },
    ],
    [
      spillway === null ? 'unknown' : 'watch',
      {
        chainage_m: spillway?.chainage_m,
        length_m: spillway?.length_m,
        spillHead_m: settings.spillHead_m,
        peakInflow_m3s: spillway?.peakInflow_m3s,
      },
    ],
    [
      a.breaches ? 'watch' : 'unknown',
      { spills: a.spills.length, endsIn: best === undefined ? '–' : sayPathEnd(best.path.endsIn, voice), breaches: a.breaches?.length },
    ],
    ['unknown', { pits: count('pit') }],
    ['watch', { features: features.length, allBuildings: yesNo(settings.allBuildingsDrawn) }],
    [
      earth === null ? 'unknown' : 'watch',
      earth === null ? {} : { cut: formatEarth(earth.cut_m3, voice), prismoidal: formatEarth(earth.cutPrismoidal_m3, voice) },
    ],
    [papers === null ? 'unknown' : 'holds', { stakes: papers?.stakes.length, crs: ground.crs }],
    ['holds', {}],
    ['watch', {}],
    ['holds', { version: input.version, runs: catchment.runs }],
    [
      'watch',
      {
        permissions: yesNo(settings.permissionsAsked),
        assumed: input.assumed.length,
        given: Object.keys(settings).length - input.assumed.length,
      },
    ],
  ]
  return POINTS.map(([asked, given], k) => {
    const [state, values] = facts[k]!
    return { asked: asked[voice.language], given: tell(given, values), state }
  })
}
