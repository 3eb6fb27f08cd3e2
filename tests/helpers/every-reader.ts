/** Whether each reader of a test's list takes his turn, as in the part `screens` of the long check, or in `npm test` one of them. */
export const EVERY_READER = process.env.SOAKLINE_SCREENS === 'all'
