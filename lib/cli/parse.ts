import Parser from 'yargs-parser'
import { suggest } from '../finding/nearest'
import {
  COMMANDS,
  type CommandName,
  commandSpec,
  OPTIONS,
  type OptionName,
  type OptionSpec,
  optionSpec,
  type OptionValues,
  shownCommands,
} from './options'
import { UsageError } from './usage'

export interface Request {
  readonly command: CommandName
  readonly operands: readonly string[]
  readonly options: OptionValues
}

/**
 * Reads the words after `cardwright`.
 *
 * @throws UsageError for a command, option or number of operands that the table does not have, with the nearest name
 */
export function parse(words: readonly string[]): Request {
  const { argv, error } = Parser.detailed([...words], parserOptions())
  const [name, ...operands] = argv._.map(String)
  const command = knownCommand(name)
  const given = Object.entries(argv).filter(([key]) => key !== '_')
  for (const [key] of given) knownOption(key, command)
  refuseUnfilled(words)
  if (error) throw new UsageError(lowerFirst(error.message), `see cardwright ${command} --help`)
  countOperands(command, operands)
  return { command, operands, options: valuesOf(Object.fromEntries(given)) }
}

/** An option that wants a value and stands last, or before another option. A value may begin with a minus and a digit. */
function refuseUnfilled(words: readonly string[]): void {
  for (const [i, word] of words.entries()) {
    if (word === '--') return
    const name = word.slice(2) as OptionName
    if (!word.startsWith('--') || !Object.hasOwn(OPTIONS, name) || optionSpec(name).kind === 'flag') continue
    const next = words[i + 1]
    if (next !== undefined && !/^--[a-z]/.test(next)) continue
    const { value, example } = optionSpec(name)
    throw new UsageError(`--${name} needs a ${value ?? 'value'}`, `write it like ${example}`)
  }
}

function parserOptions(): Parser.Options {
  const valued = [...optionsOf('text'), ...optionsOf('number')]
  return {
    boolean: optionsOf('flag'),
    string: valued,
    array: optionsOf('list').map((key) => ({ key, string: true })),
    narg: Object.fromEntries(valued.map((name) => [name, 1])),
    configuration: {
      'camel-case-expansion': false,
      'dot-notation': false,
      'greedy-arrays': false,
      'parse-numbers': false,
      'parse-positional-numbers': false,
      'short-option-groups': false,
    },
  }
}

const ALL_OPTIONS = Object.keys(OPTIONS) as OptionName[]

function optionsOf(kind: OptionSpec['kind']): OptionName[] {
  return ALL_OPTIONS.filter((name) => OPTIONS[name].kind === kind)
}

function knownCommand(name: string | undefined): CommandName {
  if (name === undefined) throw new UsageError('no command was given', `use one of: ${shownCommands().join(', ')}`)
  if (Object.hasOwn(COMMANDS, name)) return name as CommandName
  throw new UsageError(`there is no command "${name}"`, suggest(name, shownCommands()))
}

function knownOption(key: string, command: CommandName): void {
  const allowed: readonly string[] = commandSpec(command).options
  if (allowed.includes(key)) return
  if (Object.hasOwn(OPTIONS, key)) {
    throw new UsageError(`cardwright ${command} takes no ${dashed(key)}`, `see cardwright ${command} --help`)
  }
  const spellings = allowed.filter((name) => name !== 'help' && name !== 'version').map(dashed)
  throw new UsageError(`there is no option ${dashed(key)}`, suggest(dashed(key), spellings))
}

function dashed(name: string): string {
  return name.length === 1 ? `-${name}` : `--${name}`
}

function countOperands(command: CommandName, operands: readonly string[]): void {
  const { operand } = commandSpec(command)
  const remedy = `see cardwright ${command} --help`
  if (operands.length < (operand?.least ?? 0)) {
    throw new UsageError(`cardwright ${command} needs a ${operand!.name.toUpperCase()}`, remedy)
  }
  const extra = operands[operand?.most ?? 0]
  if (extra !== undefined) throw new UsageError(`cardwright ${command} has no use for "${extra}"`, remedy)
}

function valuesOf(given: Record<string, unknown>): OptionValues {
  const values: Record<string, unknown> = {}
  for (const name of ALL_OPTIONS) {
    const spec = optionSpec(name)
    if (spec.kind === 'list') {
      values[name] = (given[name] as string[] | undefined) ?? []
      continue
    }
    const value = [given[name]].flat().at(-1) ?? spec.default
    if (spec.kind === 'number') values[name] = value === undefined ? undefined : number(name, value)
    else values[name] = spec.kind === 'text' ? filled(name, value) : value
  }
  return values as OptionValues
}

function number(name: OptionName, value: unknown): number {
  const { zero, example } = optionSpec(name)
  const number = Number(value)
  const fits = String(value).trim() !== '' && Number.isFinite(number) && (number > 0 || (zero === true && number === 0))
  if (fits) return number
  const wanted = zero ? 'a number from 0' : 'a number above 0'
  throw new UsageError(`--${name} "${String(value)}" is not ${wanted}`, `write it like ${example}`)
}

function filled(name: OptionName, value: unknown): unknown {
  if (value !== '') return value
  throw new UsageError(`--${name} has no value`, `write it like ${optionSpec(name).example}`)
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1)
}
