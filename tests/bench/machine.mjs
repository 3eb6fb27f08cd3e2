import { cpus, loadavg, platform, release, totalmem } from 'node:os'

/** What a benchmark ran on, and what else ran beside it. */
export const thisMachine = () => ({
  machine: cpus()[0]?.model ?? 'unknown',
  cores: cpus().length,
  memory_GB: totalmem() / 1e9,
  system: `${platform()} ${release()}`,
  load: loadavg(),
  node: process.version,
})
