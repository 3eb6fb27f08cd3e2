import { answer } from './answer.js'

answer().then(
  value => postMessage({ value }),
  fault => postMessage({ fault: String(fault) }),
)
