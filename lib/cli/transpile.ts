import { SourceMap } from 'node:module'
import type { Transpiler, TranspilerModule } from 'ts-node'
import { FindingError, type Site } from '../finding/finding'

/**
 * Authors' TypeScript to CommonJS, types taken off and not checked (typecheck.ts does that). The settings are ours
 * alone: an author's tsconfig, `"type": "module"` or TS_NODE_ variables make no difference.
 *
 * @throws TranspileError where it does not parse; what to say of that, {@link syntaxError} finds out
 */
export function transpile(source: string, file: string): string {
  try {
    const { outputText, sourceMapText } = compiler().transpile(source, { fileName: file })
    outputs.set(file, { sourceMap: sourceMapText })
    return outputText
  } catch (error) {
    throw new TranspileError(source, file, { cause: error })
  }
}

export class TranspileError extends Error {
  override readonly name = 'TranspileError'
  readonly source: string
  readonly file: string

  constructor(source: string, file: string, options: { cause: unknown }) {
    super(`${file} does not compile`, options)
    this.source = source
    this.file = file
  }
}

/** Says where and why in the words of TypeScript, whose parser is more exact than swc's pictures. */
export function syntaxError({ source, file, cause }: TranspileError): FindingError {
  const ts = require('typescript') as typeof import('typescript')
  const { diagnostics = [] } = ts.transpileModule(source, { fileName: file, reportDiagnostics: true })
  const first = diagnostics.find((diagnostic) => diagnostic.start !== undefined)
  const text = first ? ts.flattenDiagnosticMessageText(first.messageText, ' ') : firstLine(cause)
  const site: Site = first
    ? { file, ...placeOf(source, first.start!) }
    : { file, line: Number(/:(\d+):\d+\]/.exec(String(cause))?.[1] ?? 1), column: 1 }
  return new FindingError(
    {
      id: 'syntax',
      severity: 'error',
      text: `the file does not compile: ${withoutStop(text)}`,
      remedy: 'put the line right',
      site,
    },
    { cause },
  )
}

/** Line and column, from 1, of a character counted from 0. */
export function placeOf(source: string, offset: number): { line: number; column: number } {
  const before = source.slice(0, offset).split('\n')
  return { line: before.length, column: before.at(-1)!.length + 1 }
}

/** Loads the compiler ahead of the first file. */
export function prepareTranspiler(): void {
  compiler()
}

/** Makes stack traces speak of the author's TypeScript, not of what was made of it; costs nothing until one is read. */
function mapStackTraces(): void {
  Error.prepareStackTrace = (error, frames) =>
    `${headline(error)}${frames.map((frame) => `\n    at ${mapped(frame)}`).join('')}`
}

/** The source map of what was made of each file last: its text, and read once a stack trace has asked for it. */
const outputs = new Map<string, { readonly sourceMap: string | undefined; map?: SourceMap }>()

let transpiler: Transpiler | undefined

/**
 * ts-node's way with swc, without the rest of ts-node, which begins by loading the whole of TypeScript: half of the time
 * that a small build takes, for nothing but the defaults of options that are all given here.
 */
function compiler(): Transpiler {
  if (transpiler) return transpiler
  const { create } = require('ts-node/transpilers/swc') as TranspilerModule
  const options = { target: ES2022, module: COMMONJS, esModuleInterop: true, sourceMap: true }
  const service = { config: { options, fileNames: [], errors: [] }, options: {}, projectLocalResolveHelper: () => undefined }
  transpiler = create(Object.assign({ service }, { swc: require('@swc/core') as unknown }))
  mapStackTraces()
  return transpiler
}

/** TypeScript's own numbers for its options `target` and `module`. */
const ES2022 = 9
const COMMONJS = 1

/** swc frames its message with a picture of the source. */
function firstLine(error: unknown): string {
  return String((error as Error).message ?? error)
    .trim()
    .split('\n')[0]!
    .replace(/^x /, '')
}

function withoutStop(text: string): string {
  return text.replace(/\.$/, '')
}

function headline(error: Error): string {
  try {
    return String(error)
  } catch {
    return 'an error that cannot be printed'
  }
}

function mapped(frame: NodeJS.CallSite): string {
  const file = frame.getFileName()
  const line = frame.getLineNumber()
  const column = frame.getColumnNumber()
  const map = file && line && column ? mapOf(file) : undefined
  const entry = map?.findEntry(line! - 1, column! - 1)
  if (!entry || !('originalLine' in entry)) return String(frame)
  return String(frame).replace(
    `${file}:${line}:${column}`,
    `${file}:${entry.originalLine + 1}:${entry.originalColumn + 1}`,
  )
}

function mapOf(file: string): SourceMap | undefined {
  const output = outputs.get(file)
  if (output?.sourceMap === undefined) return undefined
  return (output.map ??= new SourceMap(JSON.parse(output.sourceMap)))
}
