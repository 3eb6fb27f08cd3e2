import { mkdirSync, mkdtempSync, readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Extractor, ExtractorConfig } from '@microsoft/api-extractor'
import { repositoryRoot } from '../helpers/repository.js'

/** The published entry points: the package, the path that others import, and the file of declarations that the build leaves. */
export const ENTRIES = [
  ['soakline', 'soakline', 'index'],
  ...['foundation', 'raster', 'kernels', 'terrain', 'hydrology', 'earthworks', 'siting', 'plan'].map(
    room => ['soakline', `soakline/${room}`, `${room}/index`] as const,
  ),
  ['io', '@soakline/io', 'index'],
  ['drawing', '@soakline/drawing', 'index'],
] as const

/** The folder of the kept reports: beside the library's other documents. */
export const REPORTS = join(repositoryRoot, 'packages/soakline/docs/api')

/** What an entry point promises, as a report, with what its declarations name but do not export and what has no doc comment. */
export interface PublicApi {
  readonly report: string
  /** Names that a declaration uses and this entry does not export (another room may). */
  readonly used: readonly string[]
  /** Exported names without a doc comment. */
  readonly undocumented: readonly string[]
  /** Exported names. */
  readonly exported: readonly string[]
}

/** Reads the built declarations of one entry point. The build must be there. */
export function publicApi([folder, path, entry]: (typeof ENTRIES)[number]): PublicApi {
  const projectFolder = join(repositoryRoot, 'packages', folder)
  const out = mkdtempSync(join(tmpdir(), 'soakline-api-'))
  const name = path.replace(/\W+/g, '-').replace(/^-/, '')
  for (const part of ['kept', 'temp']) mkdirSync(join(out, part))
  const quiet = { logLevel: 'none' } as const
  const config = ExtractorConfig.prepare({
    configObject: {
      projectFolder,
      newlineKind: 'lf',
      mainEntryPointFilePath: join(projectFolder, 'dist', `${entry}.d.ts`),
      compiler: { tsconfigFilePath: join(projectFolder, 'tsconfig.json') },
      apiReport: { enabled: true, reportFileName: name, reportFolder: join(out, 'kept'), reportTempFolder: join(out, 'temp') },
      docModel: { enabled: false },
      dtsRollup: { enabled: false },
      tsdocMetadata: { enabled: false },
      messages: {
        compilerMessageReporting: { default: quiet },
        tsdocMessageReporting: { default: quiet },
        extractorMessageReporting: { default: quiet },
      },
    } as unknown as Parameters<typeof ExtractorConfig.prepare>[0]['configObject'],
    configObjectFullPath: undefined,
    packageJsonFullPath: join(projectFolder, 'package.json'),
  })
  const used: string[] = []
  Extractor.invoke(config, {
    localBuild: true,
    messageCallback: message => {
      message.handled = true
      const symbol = /"([^"]+)"/.exec(message.text)?.[1]
      if (symbol && message.messageId === 'ae-forgotten-export') used.push(symbol)
    },
  })
  const report = readFileSync(join(out, 'kept', `${name}.api.md`), 'utf8').replace(
    /^## API Report File for .*$/m,
    `## What \`${path}\` exports`,
  )
  const blocks = report.split(/\n\n/)
  const exportsOf = (block: string): string[] =>
    [...block.matchAll(/^export (?:declare )?(?:abstract )?(?:async )?(?:function|interface|type|const|class|enum) (\w+)/gm)].map(
      m => m[1]!,
    )
  return {
    report,
    used: [...new Set(used)].sort(),
    undocumented: blocks.filter(block => /^\/\/ @public \(undocumented\)/m.test(block)).flatMap(exportsOf),
    exported: blocks.flatMap(exportsOf),
  }
}
