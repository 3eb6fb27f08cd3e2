/** The colours of a sheet. Each differs from the others in lightness as well as in hue. */
export interface Inks {
  readonly paper: string
  readonly ink: string
  readonly faint: string
  readonly contour: string
  readonly ditch: string
  readonly water: string
  readonly noGo: string
  readonly growth: string
}

/** Ink on paper by day. */
export const DAY: Inks = {
  paper: '#F6F2E9',
  ink: '#22302B',
  faint: '#8B8F83',
  contour: '#7A5C3A',
  ditch: '#174A63',
  water: '#2C7199',
  noGo: '#8A5044',
  growth: '#5A6F4C',
}

/** Chalk on slate by night. */
export const NIGHT: Inks = {
  paper: '#16201D',
  ink: '#E6E2D6',
  faint: '#6E776F',
  contour: '#B08D62',
  ditch: '#9BD0EC',
  water: '#6FB1D8',
  noGo: '#C8968A',
  growth: '#93A883',
}
