// A second worker for the compiled kernels: opened by kernels.ts.
import { workerData } from 'node:worker_threads'
import { joinCrew } from 'soakline/kernels'

joinCrew(workerData)
