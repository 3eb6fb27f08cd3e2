import type { JSX } from 'preact'

/** What each tool's sign shows, drawn on a square of 20: contours in the contour's ink, what the hand adds in the ditch's. */
const SIGNS = {
  // A place on a contour.
  point: {
    ground: 'M2 14c4-6 12-6 16 0M4 18c4-4 8-4 12 0',
    hand: 'M10 9.5v0M10 9.5m-2.6 0a2.6 2.6 0 1 0 5.2 0a2.6 2.6 0 1 0-5.2 0M10 2v3',
  },
  // Steps along a contour.
  walk: { ground: 'M2 16c4-6 12-6 16 0', hand: 'M3 11.5l2-2.2M7.2 8l2.8-1M12.6 7.4l2.4 1.6M16.4 10.6l1.4 1.9M15 4l3 8.5-4.4-.4' },
  // A stroke of its own way.
  draw: { ground: 'M2 17c4-5 12-5 16 0', hand: 'M3 12L8 5l4 4 5-6' },
  // A building and a tree.
  feature: { ground: 'M2 17h16', hand: 'M3 17v-6l4-3.4 4 3.4v6M15 17v-4M15 13a3 3.4 0 1 1 .01 0' },
  // A staff laid from place to place, with its marks.
  measure: { ground: 'M2 18c4-5 12-5 16 0', hand: 'M3 12L15 4M5 10.7l1.2 1.8M8 8.7l1.2 1.8M11 6.7l1.2 1.8M14 4.7l1.2 1.8' },
  // A place between its two coordinates.
  place: { ground: 'M2 16c4-4 12-4 16 0', hand: 'M10 2v5M10 12v5M3 9.5h5M12 9.5h5M10 9.5v0' },
  // The rim of the sheet.
  fit: { ground: 'M5 12c3-4 7-4 10 0', hand: 'M2.5 7V3.5H6M14 3.5h3.5V7M17.5 13v3.5H14M6 16.5H2.5V13' },
} as const

/** The sign of a tool; its name stands beside it. */
export const Sign = ({ of }: { readonly of: keyof typeof SIGNS }): JSX.Element => (
  <svg class="sign" viewBox="0 0 20 20" aria-hidden="true">
    <path class="sign-ground" d={SIGNS[of].ground} />
    <path class="sign-hand" d={SIGNS[of].hand} />
  </svg>
)
