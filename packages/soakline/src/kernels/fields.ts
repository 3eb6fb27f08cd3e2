// What the library and its compiled kernels (packages/soakline/kernels) must agree on. Compiled into both: constants only.

/** Byte address of the fields: 32-bit numbers that tell the kernels where things lie. */
export const FIELDS = 1024
export const WIDTH = 0
export const HEIGHT = 1
/** Cells from a row to the next: the width and at least one cell of padding, a multiple of 16. */
export const STRIDE = 2
/** Addresses of one value a cell, padding included: heights, basins (or a queue, or counts), a second queue (or the basin graph), codes, donors. */
export const Z = 3
export const LABEL = 4
export const LINK = 5
export const CODE = 6
export const DEGREE = 7
/** How many basins there are, the outside (0) included. */
export const BASINS = 8
/** Addresses of one value a basin: pit, lowest pass (height, then place), the basin beyond it, level, tree. */
export const PIT = 9
export const PASS = 10
export const PARENT = 11
export const LEVEL = 12
export const TREE = 13
/** How many trees of basins there are after the first round, the one that holds the outside (0) included. */
export const TREES = 14
/** Passes between trees, 16 bytes each: two trees, height, place; and what is needed to join them. */
export const EDGES = 15
export const EDGE_COUNT = 16
export const JOINED = 17
export const BEST_EDGE = 18
export const CHOSEN = 19
export const CHOSEN_COUNT = 20
export const FIRST_LINK = 21
export const NEXT_LINK = 22
export const STACK = 23
/** How many basins have been numbered in the order of the raster. */
export const RANKED = 24
/** Where walks go on that leave a strip, 8 bytes each: the cell beyond, and the basin once it is known. */
export const EXITS = 25
/** Eight offsets to the neighbours, in cells, clockwise from north. */
export const OFFSETS = 32
/** One float64: what a difference over 3 × 3 cells is divided by. */
export const RUN = 48
/** Water that spreads. Addresses of one value a cell: what the clockwise neighbour takes, or where a pit's water comes down. */
export const SHARE = 52
/** To which neighbours a cell gives, and which give to it: bit k for direction k. The latter is kept only where its address is not 0. */
export const GIVES = 53
export const DONORS = 54
/** Gathered water (float64); before it, in the same place, how much each cell scatters. */
export const AREA = 55
/** Cells whose water is complete, the first of them that has not passed it on, and the end of them. */
export const QUEUE = 56
export const QUEUE_HEAD = 57
export const QUEUE_TAIL = 58
/** How far down a cell lies, 0 on the ridges; and the least number above all of them. */
export const LAYER = 59
export const LAYERS = 60
/** Address of what raises a ratio to a power, float64: see `powerTable`. 0 where the method does not. */
export const POWERS = 61
/** Places in it: contour lengths of straight and slant ways, four binomial coefficients, and the first of three tables. */
export const CONTOUR = 0
export const BINOMIALS = 2
export const RECIPROCALS = 6
/** As many parts has the mantissa between 1 and 2. */
export const MANTISSAS = 256
/** As many powers of two are known: ratios of differences of float32 need no more. */
export const HALVINGS = 512

/** Byte address of what each member of a crew works on: its strip of rows and its own working memory. */
export const MEMBER = 4096
export const MEMBER_BYTES = 256
export const FIRST_ROW = 0
export const END_ROW = 1
/** The row at which a member goes on. */
export const NEXT_ROW = 2
export const PITS = 3
export const FIRST_PIT = 4
/** Lowest pass of each basin that the member has seen. */
export const OWN_PASS = 5
/** Table of passes between trees: 16 bytes a place; its size (a power of two) and how many are taken. */
export const TABLE = 6
export const TABLE_SIZE = 7
export const TABLE_COUNT = 8
/** How many walks leave the strip, and the first of the labels that stand for where they go on. */
export const EXIT_COUNT = 10
export const FIRST_EXIT = 11
/** Three rows of trees. */
export const ROWS = 12
/** Two queues of flat cells: first and last of each. */
export const HEAD_5 = 13
export const TAIL_5 = 14
export const HEAD_7 = 15
export const TAIL_7 = 16
/** Whether any cell lies flat. */
export const FLAT = 17
/** Largest height and least height other than 0, signs apart (float32). */
export const HIGHEST = 18
export const LEAST = 19

/** Byte address of what each member may scribble on, 256 bytes each. */
export const SCRIBBLE = 16384

/** Byte address of the letters between the members of a crew. */
export const CONTROL = 256
/** Count of turns, kernel and members of the present one, from the high bits down. */
export const TURN = 0
export const DONE = 2
export const READY = 3
export const FAILED = 4

/** Cells of padding before the first row of padding. */
export const GUARD = 16
/** Where the raster's own arrays begin. */
export const HEAP = 65536
/** The most members of a crew. */
export const MOST_MEMBERS = 16

// Codes of cells, as in the drainage, and those of flat cells while their ways are looked for.
export const LEAVES_CODE = 8
export const SINK_CODE = 9
/** Shared evenly among the neighbours that it gives to; unevenly. */
export const EVEN_CODE = 10
export const MANY_CODE = 11
/** From here on 128 codes: eight times the distance to where the flat drains (in fifths of a cell, less whole sixteens), and the way. */
export const SETTLED = 16
/** From here on 16 codes: such a distance, for cells whose turn has not come. */
export const WAITING = 144
/** The one cell of a flat without a way out to which it drains. */
export const FLAT_PIT = 160
/** Cells of the flat at hand that have not been reached. */
export const SEEN = 161
/** Flat cells whose flat lies across two strips; those of which nothing is known yet. */
export const SHARED_CODE = 253
export const OPEN_CODE = 254
export const VOID_CODE = 255
