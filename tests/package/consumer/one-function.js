export { gradient } from 'soakline/terrain'
