// A second worker for the compiled kernels: opened by kernels.ts.
import { type CrewLetter, joinCrew } from 'soakline/kernels'

self.onmessage = ({ data }: MessageEvent<CrewLetter>) => joinCrew(data)
