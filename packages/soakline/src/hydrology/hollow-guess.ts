/** What a hollow seems to be, and the rule that says so. */
export type HollowGuess =
  | { readonly is: 'real'; readonly because: 'flat-floor' | 'deep-and-wide' }
  | { readonly is: 'artefact'; readonly because: 'within-error' | 'few-cells' }
  | { readonly is: 'unsure'; readonly because: 'touches-rim' | 'embankment' | 'between' }

/** Smaller hollows are noise as often as not. Judgement. */
const FEW_CELLS = 3
/** Depth against the error: below twice it a pit is as likely drawn by chance; beyond five times it is not chance. Judgement. */
const DEEP_ERRORS = 5
/** As wide as this many cells. Judgement. */
const WIDE_CELLS = 25
/** A level floor of so many cells, and so much of the hollow, is water or a mud bottom as surveyed. Judgement. */
const FLAT_CELLS = 10

/**
 * Guesses whether a hollow is real ground, or an artefact of the raster that water in the field does not meet. The first rule that applies:
 *
 * - `touches-rim`: its lip is the raster's rim, so its depth is not known;
 * - `within-error`: shallower than twice the error of the heights;
 * - `few-cells`: one to three cells;
 * - `embankment`: a narrow bank holds it, with ground as low close behind (see `culvertPlaces`): a culvert or a dam, which only the field tells;
 * - `flat-floor`: at least ten cells and half of it at exactly its lowest height, as open water is surveyed;
 * - `deep-and-wide`: at least five errors deep and 25 cells wide;
 * - `between`: none of these.
 *
 * Source  that depth against error tells most: Lindsay & Creed (2006), Comput. Geosci. 32, 1192–1204 (from memory, unchecked); the limits are
 *         judgement.
 */
export function guessHollow(
  hollow: { readonly depth_m: number; readonly cells: number; readonly floorCells: number; readonly touchesRim: boolean },
  { elevationError_m, behindBank }: { readonly elevationError_m: number; readonly behindBank: boolean },
): HollowGuess {
  if (hollow.touchesRim) return { is: 'unsure', because: 'touches-rim' }
  if (hollow.depth_m < 2 * elevationError_m) return { is: 'artefact', because: 'within-error' }
  if (hollow.cells <= FEW_CELLS) return { is: 'artefact', because: 'few-cells' }
  if (behindBank) return { is: 'unsure', because: 'embankment' }
  if (hollow.floorCells >= FLAT_CELLS && 2 * hollow.floorCells >= hollow.cells) return { is: 'real', because: 'flat-floor' }
  if (hollow.depth_m >= DEEP_ERRORS * elevationError_m && hollow.cells >= WIDE_CELLS) return { is: 'real', because: 'deep-and-wide' }
  return { is: 'unsure', because: 'between' }
}
