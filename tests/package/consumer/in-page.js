import { answer } from './answer.js'

const inWorker = new Promise((done, failed) => {
  const worker = new Worker(new URL('./in-worker.js', import.meta.url), { type: 'module' })
  worker.onmessage = ({ data }) => ('value' in data ? done(data.value) : failed(new Error(data.fault)))
  worker.onerror = event => failed(new Error(event.message))
})
globalThis.answers = Promise.all([answer(), inWorker])
