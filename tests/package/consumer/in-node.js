import { answer } from './answer.js'

console.log(JSON.stringify(await answer()))
