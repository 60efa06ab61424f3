import { existsSync } from 'node:fs'
import { dirname, join, sep } from 'node:path'
import { parentPort } from 'node:worker_threads'
import ts from 'typescript'
import type { Finding } from '../finding/finding'

export interface TypeQuestion {
  readonly root: string
  readonly files: readonly string[]
}

export interface TypeAnswer {
  readonly findings: readonly Finding[]
  /** Every file the answer stands on, the compiler's own library aside. */
  readonly stands: readonly string[]
}

parentPort?.on('message', (question: TypeQuestion) => {
  // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread, not a window
  parentPort!.postMessage(answer(question))
})

/** Node's types cost as much time as all the rest, so they are left out until a file turns out to need them. */
function answer({ root, files }: TypeQuestion): TypeAnswer {
  let program = programOf(files, root, [])
  let diagnostics = errorsIn(program, root)
  const nodeTypes = join(root, 'node_modules', '@types', 'node')
  if (diagnostics.some(({ code }) => WANTS_NODE.has(code)) && existsSync(nodeTypes)) {
    program = programOf(files, root, ['node'])
    diagnostics = errorsIn(program, root)
  }
  const library = dirname(ts.getDefaultLibFilePath({}))
  const stands = program.getSourceFiles().map(({ fileName }) => fileName)
  return {
    findings: diagnostics.map(typeFinding),
    stands: stands.filter((file) => file !== AMBIENT && !file.startsWith(library)),
  }
}

/** Cannot find module; cannot find name; the same with the advice to install Node's types. */
const WANTS_NODE = new Set([2307, 2304, 2580, 2591])

/** Ours alone, as in transpile.ts: the same file is right or wrong in every project. */
const OPTIONS: ts.CompilerOptions = {
  strict: true,
  noEmit: true,
  skipLibCheck: true,
  target: ts.ScriptTarget.ES2022,
  lib: ['lib.es2023.d.ts'],
  module: ts.ModuleKind.Preserve,
  moduleResolution: ts.ModuleResolutionKind.Bundler,
  isolatedModules: true,
  esModuleInterop: true,
  resolveJsonModule: true,
  forceConsistentCasingInFileNames: true,
  paths: { cardwright: [join(dirname(__dirname), 'index.d.ts')] },
}

/** Stands for the one global that authors use without thinking of Node. */
const AMBIENT = '/cardwright/console.d.ts'
const CONSOLE_METHODS = "'log' | 'info' | 'warn' | 'error' | 'debug' | 'table' | 'dir'"
const AMBIENT_TEXT = `declare var console: Record<${CONSOLE_METHODS}, (...values: unknown[]) => void>`

let before: ts.Program | undefined
const parsed = new Map<string, ts.SourceFile>()

function programOf(files: readonly string[], root: string, types: readonly string[]): ts.Program {
  const options: ts.CompilerOptions = {
    ...OPTIONS,
    types: [...types],
    typeRoots: [join(root, 'node_modules', '@types')],
  }
  const ambient = types.length === 0 ? [AMBIENT] : []
  const program = ts.createProgram({
    rootNames: [...files, ...ambient],
    options,
    host: reusingHost(options),
    ...(before && { oldProgram: before }),
  })
  before = program
  return program
}

/** A host that hands out the same tree for the same text, which is what lets the compiler keep its earlier work. */
function reusingHost(options: ts.CompilerOptions): ts.CompilerHost {
  const host = ts.createCompilerHost(options, true)
  const fileExists = host.fileExists.bind(host)
  host.fileExists = (file) => file === AMBIENT || fileExists(file)
  // An import that was not found before may be there now, and the other way round.
  host.hasInvalidatedResolutions = () => true
  host.getSourceFile = (file, target) => {
    const text = file === AMBIENT ? AMBIENT_TEXT : host.readFile(file)
    if (text === undefined) return undefined
    const known = parsed.get(file)
    if (known?.text === text) return known
    const fresh = ts.createSourceFile(file, text, target, true)
    parsed.set(file, fresh)
    return fresh
  }
  return host
}

function errorsIn(program: ts.Program, root: string): ts.Diagnostic[] {
  const authors = program
    .getSourceFiles()
    .filter(
      ({ fileName, isDeclarationFile }) =>
        !isDeclarationFile && fileName.startsWith(slashed(root)) && !fileName.includes('/node_modules/'),
    )
  return authors.flatMap((file) => [...program.getSyntacticDiagnostics(file), ...program.getSemanticDiagnostics(file)])
}

function typeFinding(diagnostic: ts.Diagnostic): Finding {
  const text = ts
    .flattenDiagnosticMessageText(diagnostic.messageText, '; ')
    .replace(/;\s+/g, '; ')
    .replace(/\.(?=;|$)/g, '')
  const { file, start } = diagnostic
  const place = file && start !== undefined ? file.getLineAndCharacterOfPosition(start) : undefined
  return {
    id: 'type',
    severity: 'error',
    text: `${text} (TS${diagnostic.code})`,
    remedy: remedyFor(text),
    ...(file && place && { site: { file: file.fileName, line: place.line + 1, column: place.character + 1 } }),
  }
}

function remedyFor(text: string): string {
  return /^(Argument of type|Type) '(number|-?[\d.]+)' is not assignable to (parameter of )?type '[^']*Length/.test(
    text,
  )
    ? 'write its unit and kind: full.m(1.2) on the subject, bench.mm(3) on the bench'
    : 'put the type right before you cut: what was built may not be what was meant'
}

function slashed(path: string): string {
  return path.split(sep).join('/')
}
