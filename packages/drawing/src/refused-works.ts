import type { Sentence } from './templates.js'

/** Refusals of numbers about ditch, berm, sill and drain, and about where they lie. */
export const REFUSED_WORKS = {
  'backwater/bad-places': {
    en: 'The places along the ditch must be in order, with sizes above 0.',
    es: 'Los lugares a lo largo de la zanja deben ir en orden, con medidas mayores que 0.',
  },
  'backwater/outlet-dry': {
    en: 'At the outlet the water would lie below the bed. Raise the water level, or lower the bed.',
    es: 'En la salida el agua quedaría bajo el fondo. Suba el nivel del agua, o baje el fondo.',
  },
  'backwater/over-banks': {
    en: 'At a place along the ditch the water stands above its sides.',
    es: 'En un lugar de la zanja el agua pasa por encima de sus lados.',
  },
  'breach/bad-depth': {
    en: 'The depth of water for a break cannot be used; the upper water must be the deeper.',
    es: 'La altura de agua para una rotura no sirve; la de arriba debe ser la más honda.',
  },
  'breach/bad-water': {
    en: 'The water of a ditch for a break of its berm cannot be used. Give volumes and flows of 0 or more.',
    es: 'El agua de una zanja para una rotura del camellón no sirve. Dé volúmenes y caudales de 0 o más.',
  },
  'breach/no-such-line': { en: 'A break is asked for on a line that is not there.', es: 'Se pide una rotura en una línea que no existe.' },
  'cascade/bad-order': {
    en: 'A ditch of the row spills into one above it. Give them from the top down.',
    es: 'Una zanja de la serie rebosa hacia una más alta. Póngalas de arriba abajo.',
  },
  'cascade/bad-steps': {
    en: 'The ditches of the row have inflows in different steps of time.',
    es: 'Las zanjas de la serie tienen entradas con pasos de tiempo distintos.',
  },
  'cascade/no-such-ditch': {
    en: 'A ditch of the row spills into one that is not there.',
    es: 'Una zanja de la serie rebosa hacia otra que no existe.',
  },
  'cascade/one-line': {
    en: 'Ditches below one another are two or more. Draw another line.',
    es: 'Una serie de zanjas lleva dos o más. Dibuje otra línea.',
  },
  'channel/bad-depth': {
    en: 'The depth of water in the channel must be 0 or more.',
    es: 'La altura del agua en el canal debe ser 0 o más.',
  },
  'channel/bad-fall': {
    en: 'The fall of the channel must be above 0 and up to 1 (1 % is 0.01).',
    es: 'La caída del canal debe ser mayor que 0 y hasta 1 (1 % es 0,01).',
  },
  'channel/bad-flow': { en: 'The flow must be 0 or more.', es: 'El caudal debe ser 0 o más.' },
  'channel/bad-grass': { en: 'The height of the grass must be above 0.', es: 'La altura del pasto debe ser mayor que 0.' },
  'channel/bad-roughness': {
    en: 'The roughness of the bed is outside what is published (0.01 to 0.5).',
    es: 'La rugosidad del fondo está fuera de lo publicado (0,01 a 0,5).',
  },
  'channel/bad-shape': {
    en: 'The channel’s shape cannot be used: sizes of 0 or more, with some width.',
    es: 'La forma del canal no sirve: medidas de 0 o más, con algo de ancho.',
  },
  'channel/bad-stone': { en: 'The rule for stone holds for 2 to 60 cm.', es: 'La regla para piedra vale de 2 a 60 cm.' },
  'channel/flow-over-banks': {
    en: 'The section does not carry this flow. Make it larger, or lead less water in.',
    es: 'La sección no lleva este caudal. Hágala más grande, o meta menos agua.',
  },
  'channel/over-banks': { en: 'The water stands higher than the drawn section.', es: 'El agua pasa por encima de la sección dibujada.' },
  'channel/retardance-outside': {
    en: 'This flow lies outside the published curves for grass. Take the roughness from the table of surfaces.',
    es: 'Este caudal está fuera de las curvas publicadas para pasto. Tome la rugosidad de la tabla de superficies.',
  },
  'channel/unknown-cover': { en: 'That grass is not in the published table.', es: 'Ese pasto no está en la tabla publicada.' },
  'doubt/bad-clearance': {
    en: 'The distance to keep from buildings must be above 0, along the ground and in height. Correct the settings.',
    es: 'La distancia que se guarda a las construcciones debe ser mayor que 0, sobre el terreno y en altura. Corrija los ajustes.',
  },
  'doubt/bad-error-model': {
    en: 'The doubt in the heights is set in a way that cannot be tried. Correct its size, its share or its reach in the settings.',
    es: 'La duda en las alturas está puesta de un modo que no se puede probar. Corrija en los ajustes su tamaño, su parte o su alcance.',
  },
  'doubt/bad-runs': {
    en: 'The number of terrains to try must be whole and not too large.',
    es: 'El número de terrenos a probar debe ser entero y no muy grande.',
  },
  'doubt/off-raster': {
    en: 'Neither the line nor its places to spill lie on the height data. Draw them on ground that has data.',
    es: 'Ni la línea ni sus lugares para rebalsar están sobre los datos de altura. Dibújelos en suelo que tenga datos.',
  },
  'drain/bad-design': {
    en: 'A size of the drain, its flow or its fall cannot be used. Give numbers above 0.',
    es: 'Una medida de la zanja de desviación, su caudal o su caída no se puede usar. Dé números mayores que 0.',
  },
  'dug/bad-line': {
    en: 'The ditch needs a line of two different points or more.',
    es: 'La zanja necesita una línea de dos puntos distintos o más.',
  },
  'dug/bad-stakes': {
    en: 'The sections along the line must be in order, and the sill must lie within it.',
    es: 'Las secciones de la línea deben ir en orden, y el vertedero debe quedar dentro.',
  },
  'dug/too-fine': {
    en: 'The cells for the dug ground are too small for so long a line. Take larger ones.',
    es: 'Las celdas del terreno cavado son muy pequeñas para una línea tan larga. Use más grandes.',
  },
  'flow/bad-flow': {
    en: 'The flow over the spill cannot be used. Give a flow of 0 or more over a width above 0.',
    es: 'El caudal sobre el vertedero no sirve. Dé un caudal de 0 o más en un ancho mayor que 0.',
  },
  'labour/bad-volume': { en: 'The volume to dig must be 0 or more.', es: 'El volumen a cavar debe ser 0 o más.' },
  'labour/too-deep': {
    en: 'The ditch is too deep for the rates of hand digging[: {depth_m}]; they end at 1.5 m, and deeper sides must be held up. Dig shallower, or ask a professional.',
    es: 'La zanja es muy honda para los rendimientos a mano[: {depth_m}]; llegan hasta 1,5 m, y más hondo hay que sostener los lados. Cave menos hondo, o pregunte a un profesional.',
  },
  'labour/too-far': {
    en: 'The soil is carried too far for a barrow[: {carry_m:length}]; the rates end at 50 m. Place it nearer.',
    es: 'La tierra se lleva demasiado lejos para una carretilla[: {carry_m:length}]; los rendimientos llegan hasta 50 m. Déjela más cerca.',
  },
  'line/bad-ditch': {
    en: 'A size of the ditch cannot be used: give numbers above 0.',
    es: 'Una medida de la zanja no sirve: dé números mayores que 0.',
  },
  'line/bad-intake': {
    en: 'The soaking rate along the line must be 0 or more.',
    es: 'La tasa de infiltración en la línea debe ser 0 o más.',
  },
  'line/bad-levels': { en: 'There must be one water level for each stake.', es: 'Debe haber un nivel de agua por cada estaca.' },
  'line/bad-sediment-share': {
    en: 'The share kept for silt must be from 0 to under 100 %.',
    es: 'La parte para sedimento debe ir de 0 a menos de 100 %.',
  },
  'line/bad-spacing': { en: 'The spacing along the line must be above 0.', es: 'La separación en la línea debe ser mayor que 0.' },
  'line/bad-step': { en: 'The step between levels must be above 0.', es: 'El paso entre niveles debe ser mayor que 0.' },
  'line/too-few-stakes': { en: 'The line needs at least two stakes.', es: 'La línea necesita al menos dos estacas.' },
  'pool/bad-inflow': {
    en: 'The inflow must have a time step above 0 and flows of 0 or more.',
    es: 'La entrada debe tener un paso de tiempo mayor que 0 y caudales de 0 o más.',
  },
  'pool/bad-levels': { en: 'The table of the pool must begin empty and rise.', es: 'La tabla del estanque debe empezar vacía y subir.' },
  'pool/bad-start': {
    en: 'The water at the start must lie between the bed and the crest.',
    es: 'El agua al inicio debe estar entre el fondo y la corona.',
  },
  'rating/bad-rows': {
    en: 'The rating must begin with nothing stored and rise in every row.',
    es: 'La tabla debe empezar sin nada guardado y subir en cada fila.',
  },
  'rating/outside': {
    en: 'More is stored than the rating goes. Extend it upward.',
    es: 'Se guarda más de lo que llega la tabla. Alárguela hacia arriba.',
  },
  'section/bad-ground': {
    en: 'The drawn ground of the section cannot be used: it must run from uphill to downhill.',
    es: 'El terreno dibujado de la sección no sirve: debe ir de arriba a abajo de la ladera.',
  },
  'section/bad-level': { en: 'The water level for the section is not a number.', es: 'El nivel de agua de la sección no es un número.' },
  'section/bad-shape': {
    en: 'A size of the ditch or berm cannot be used: give numbers of 0 or more.',
    es: 'Una medida de la zanja o el camellón no sirve: dé números de 0 o más.',
  },
  'section/bad-slope': {
    en: 'The slope of the ground across the line cannot be used. If the ground rises to the berm’s side, the berm is on the wrong side.',
    es: 'La pendiente del terreno a través de la línea no sirve. Si el terreno sube hacia el camellón, el camellón está del lado equivocado.',
  },
  'section/berm-below-lip': {
    en: 'The dug soil makes no berm above the ditch’s lower edge. Dig deeper, or take a narrower crest.',
    es: 'La tierra cavada no alcanza a formar un camellón sobre el borde bajo de la zanja. Cave más hondo, o use una corona más angosta.',
  },
  'section/cut-never-ends': {
    en: 'The cut side is no steeper than the ground, so it would never meet it. Make it steeper.',
    es: 'El talud de corte no es más empinado que el terreno y nunca lo alcanza. Hágalo más empinado.',
  },
  'section/hollow-uphill': {
    en: 'The ground uphill of the ditch lies lower than its bed; water would gather there. Move the line.',
    es: 'Arriba de la zanja el terreno queda más bajo que el fondo; ahí se juntaría el agua. Mueva la línea.',
  },
  'section/level-over-crest': {
    en: 'The water level stands above the berm’s crest.',
    es: 'El nivel de agua pasa por encima de la corona del camellón.',
  },
  'section/sill-below-bed': {
    en: 'With so much berm kept above the water the sill would lie below the bed. Make the ditch deeper, or keep less.',
    es: 'Con tanto camellón sobre el agua, el vertedero quedaría bajo el fondo. Haga más honda la zanja, o deje menos.',
  },
  'slope/bad-soil': {
    en: 'The numbers of the wet soil on the slope cannot be used. Friction is from 0 to 60°, weight above that of water, depth above 0.',
    es: 'Los números del suelo mojado de la ladera no sirven. La fricción va de 0 a 60°, el peso es mayor que el del agua, la hondura mayor que 0.',
  },
  'spacing/bad-slope': {
    en: 'Lines cannot be spaced on level ground or on ground steeper than 45°. Choose ground that slopes.',
    es: 'No se pueden espaciar líneas en suelo plano ni en suelo de más de 45°. Elija suelo con pendiente.',
  },
  'spacing/bad-storage': {
    en: 'A number for the spacing of lines is below 0. Give numbers of 0 or more.',
    es: 'Un número para el espacio entre líneas es menor que 0. Dé números de 0 o más.',
  },
  'spill/bad-spacing': {
    en: 'The places to try for the spill cannot be used. Give a distance above 0 and a fall of the bed from 0 to 5 %.',
    es: 'Los lugares a probar para el vertedero no sirven. Dé una distancia mayor que 0 y una caída del fondo de 0 a 5 %.',
  },
  'storage-estimate/outside': {
    en: 'The first estimate of storage holds for a peak cut to 10 to 80 % only.',
    es: 'La primera estimación de volumen vale solo para un pico reducido al 10 a 80 %.',
  },
  'volume/bad-area': { en: 'A cross-section’s area must be 0 or more.', es: 'El área de una sección debe ser 0 o más.' },
  'volume/bad-ratio': {
    en: 'A share for loosening or settling is outside what can be.',
    es: 'Una proporción de esponjamiento o asentamiento no puede ser.',
  },
  'weir/bad-flow': {
    en: 'The flow or the depth over the sill cannot be used. Allow the water to rise over it.',
    es: 'El caudal o la altura sobre el vertedero no sirve. Deje que el agua suba sobre él.',
  },
  'weir/bad-weir': {
    en: 'The sill’s size or coefficient cannot be used (published ones run from 1.3 to 1.9 in meters).',
    es: 'La medida o el coeficiente del vertedero no sirve (los publicados van de 1,3 a 1,9 en metros).',
  },
  'weir/none': {
    en: 'There is no opening for the water. Give at least one notch or sill.',
    es: 'No hay salida para el agua. Ponga al menos una muesca o un vertedero.',
  },
} as const satisfies Readonly<Record<string, Sentence>>
