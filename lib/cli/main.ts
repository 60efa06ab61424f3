import { FindingError } from '../finding/finding'
import { commandHelp, generalHelp } from './help'
import { COMMANDS, type CommandName, EXIT } from './options'
import type { Request } from './parse'
import type { Manner } from './print'
import { UsageError } from './usage'

/**
 * The whole command: words in, exit code out. Help and version are answered from the table alone; everything heavy is
 * only loaded once it is clear that it is needed.
 */
export async function main(words: readonly string[]): Promise<number> {
  endQuietlyOnClosedPipe()
  const asksHelp = (word: string | undefined) => word === '--help' || word === '-h'
  const [first, second] = words
  const about = first === 'help' || asksHelp(first) ? second : words.some(asksHelp) ? first : undefined
  if (about !== undefined && Object.hasOwn(COMMANDS, about)) return say(commandHelp(about as CommandName), EXIT.good)
  if (first === undefined || first === 'help' || asksHelp(first)) return say(generalHelp(ownVersion()), EXIT.good)
  if (first === '--version' || first === '-v') return say(ownVersion(), EXIT.good)
  const json = words.includes('--json')
  const allowExit = refuseExit()
  try {
    const { parse } = require('./parse') as typeof import('./parse')
    const request = parse(words)
    const manner = mannerOf(request.options)
    catchStrays(manner)
    return await commandOf(request.command)(request, manner)
  } catch (error) {
    const finding = error instanceof FindingError ? error.finding : undefined
    if (!(error instanceof UsageError) && !finding) throw error
    const { text, remedy } = finding ?? { text: (error as UsageError).message, remedy: (error as UsageError).remedy }
    if (json) say(JSON.stringify({ ok: false, error: { text, remedy } }, null, 2), EXIT.usage)
    const { printError, printProblems } = require('./print') as typeof import('./print')
    const manner = mannerOf({ color: !words.includes('--no-color') && undefined, trace: words.includes('--trace') })
    process.stderr.write(finding ? printProblems([{ finding, error }], manner) : printError(text, remedy, manner))
    return finding ? EXIT.findings : EXIT.usage
  } finally {
    allowExit()
  }
}

export function ownVersion(): string {
  return (require('../../package.json') as { version: string }).version
}

type Command = (request: Request, manner: Manner) => Promise<number>

function commandOf(name: CommandName): Command {
  switch (name) {
    case 'build':
      return (require('./command/build') as typeof import('./command/build')).build
    case 'check':
      return (require('./command/build') as typeof import('./command/build')).check
    case 'fit':
      return (require('./command/fit') as typeof import('./command/fit')).fit
    case 'mass':
      return (require('./command/mass') as typeof import('./command/mass')).mass
    case 'list':
      return (require('./command/list') as typeof import('./command/list')).list
    case 'stock':
      return (require('./command/stock') as typeof import('./command/stock')).stock
    case 'view':
      return (require('./command/view') as typeof import('./command/view')).view
    case 'impact':
      return (require('./command/impact') as typeof import('./command/impact')).impact
    case 'survey':
      return (require('./command/survey') as typeof import('./command/survey')).survey
    case 'section':
      return (require('./command/section') as typeof import('./command/section')).section
    case 'views':
      return (require('./command/views') as typeof import('./command/views')).views
    case 'export':
      return (require('./command/export') as typeof import('./command/export')).exportModel
    case 'log':
      return (require('./command/log') as typeof import('./command/log')).log
    case 'progress':
      return (require('./command/progress') as typeof import('./command/progress')).progress
    case 'calibrate':
      return (require('./command/calibrate') as typeof import('./command/calibrate')).calibratePrinter
    case 'diff':
      return (require('./command/diff') as typeof import('./command/diff')).diff
    case 'book':
      return (require('./command/book') as typeof import('./command/book')).book
    case 'estimate':
      return (require('./command/estimate') as typeof import('./command/estimate')).estimate
    case 'new':
      return (require('./command/new') as typeof import('./command/new')).startProject
    case 'docs':
      return (require('./command/docs') as typeof import('./command/docs')).docs
  }
}

function mannerOf({ color, trace }: { color?: boolean | undefined; trace?: boolean | undefined }): Manner {
  const { NO_COLOR = '', TERM } = process.env
  const suits = process.stderr.isTTY === true && NO_COLOR === '' && TERM !== 'dumb'
  return { color: color ?? suits, trace: trace === true, from: process.cwd() }
}

function say(text: string, code: number): number {
  process.stdout.write(`${text.replace(/\n$/, '')}\n`)
  return code
}

/** `cardwright list | head -1` is no error. */
function endQuietlyOnClosedPipe(): void {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error
    exit()
  })
}

const exit = process.exit.bind(process)

/** An author's file that ends the process would end the build with nothing said and nothing written. */
function refuseExit(): () => void {
  const before = process.exit
  process.exit = (code) => {
    const { callSite, resolveSite } = require('../finding/site') as typeof import('../finding/site')
    const site = resolveSite(callSite())
    throw new FindingError({
      id: 'exit',
      severity: 'error',
      text: `process.exit(${code ?? ''}) was called`,
      remedy: 'take it out: a model is a description, and the command ends by itself',
      ...(site && { site }),
    })
  }
  return () => {
    process.exit = before
  }
}

/** What an author's file throws later, from a timer or a promise, and what nobody expected of ours. */
function catchStrays(manner: Manner): void {
  const report = (error: unknown) => {
    const { printProblems } = require('./print') as typeof import('./print')
    const { problemOf } = require('./problem') as typeof import('./problem')
    process.stderr.write(printProblems([problemOf(error)], manner))
    exit(EXIT.findings)
  }
  process.on('uncaughtException', report).on('unhandledRejection', report)
}
