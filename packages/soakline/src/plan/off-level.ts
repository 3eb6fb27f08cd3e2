/**
 * How far the ground along a line may leave its level, as shares of the ditch's depth. They answer two questions: beyond `watched_ratio` the ditch
 * gets deeper in places than it need be, which asks to watch; beyond `most_ratio` one level of water does not stand in it, and none is laid.
 *
 * Source  judgement, both.
 */
export const OFF_LEVEL = { watched_ratio: 0.25, most_ratio: 0.5 } as const
