import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { type Browser, chromium } from 'playwright-core'
import { repositoryRoot } from './repository.js'

const USUAL = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/opt/google/chrome/chrome',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  'C:/Program Files/Google/Chrome/Application/chrome.exe',
]

/** Kept out of the lock file: only a machine without a browser fetches it. Later versions declare a newer Node. */
const PACKAGED = '@sparticuz/chromium@147.0.0'

/** WebGL by software: tests run on machines without a graphics card. */
const FLAGS = ['--use-angle=swiftshader', '--enable-unsafe-swiftshader']

/** Path of a Chromium: `CHROMIUM_PATH`, one of the usual places, or on Linux x64 a packaged one that is fetched once into `.cache/`. */
export async function chromiumPath(): Promise<string> {
  const named = process.env.CHROMIUM_PATH
  if (named) {
    if (!existsSync(named)) throw new Error(`CHROMIUM_PATH names ${named}, which does not exist.`)
    return named
  }
  const found = USUAL.find(path => existsSync(path))
  if (found) return found
  if (process.platform !== 'linux' || process.arch !== 'x64')
    throw new Error('No Chromium was found. Install Chromium or Chrome, or name one in CHROMIUM_PATH, and run the tests again.')
  return packagedChromium()
}

async function packagedChromium(): Promise<string> {
  const folder = join(repositoryRoot, '.cache/chromium')
  if (!existsSync(join(folder, 'node_modules/@sparticuz/chromium'))) {
    mkdirSync(folder, { recursive: true })
    const done = spawnSync('npm', ['install', '--prefix', folder, '--no-save', '--no-audit', '--no-fund', PACKAGED], {
      stdio: ['ignore', 2, 2],
    })
    if (done.status !== 0)
      throw new Error(
        `No Chromium was found, and ${PACKAGED} could not be installed. Name a Chromium in CHROMIUM_PATH, and run the tests again.`,
      )
  }
  // Set before the import: the package then brings the libraries that a bare system lacks, and adds them to LD_LIBRARY_PATH.
  process.env.AWS_EXECUTION_ENV ??= 'AWS_Lambda_nodejs20.x'
  const entry = createRequire(join(folder, 'package.json')).resolve('@sparticuz/chromium')
  const { default: packaged } = (await import(pathToFileURL(entry).href)) as { default: { executablePath(): Promise<string> } }
  return packaged.executablePath()
}

/** A headless Chromium that draws WebGL. */
export const openChromium = async (): Promise<Browser> =>
  chromium.launch({ executablePath: await chromiumPath(), args: FLAGS, env: definedEnvironment() })

const definedEnvironment = (): Record<string, string> =>
  Object.fromEntries(Object.entries(process.env).flatMap(([key, value]) => (value === undefined ? [] : [[key, value]])))

/** Messages of the software renderer that say nothing about the page. */
export const isHarmless = (message: string): boolean =>
  /GPU stall due to ReadPixels|Automatic fallback to software WebGL|GL Driver Message/.test(message)
