import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { commandHelp, generalHelp, optionsPage } from '../../lib/cli/help'
import { type CommandName, COMMANDS, commandSpec, OPTIONS, shownCommands } from '../../lib/cli/options'
import { parse } from '../../lib/cli/parse'

test('OPTIONS.md is what the table says; after a change: node dist/cli/bin.js docs > OPTIONS.md', () => {
  expect(readFileSync(join(__dirname, '../../OPTIONS.md'), 'utf8')).toBe(`${optionsPage()}\n`)
})

test('the general help names every command, and each its own options', () => {
  for (const name of shownCommands()) {
    expect(generalHelp('1.2.3')).toContain(`\n  ${name}`)
    for (const option of COMMANDS[name].options)
      expect(commandHelp(name)).toMatch(new RegExp(`^  --(\\[no-\\])?${option}\\b`, 'm'))
  }
})

test('no line of the help is wider than a terminal of 100 columns', () => {
  const lines = [generalHelp('1.2.3'), ...shownCommands().map(commandHelp)].join('\n').split('\n')
  for (const line of lines) expect(line.length, line).toBeLessThanOrEqual(100)
})

test('every example in the table parses, and only says what its command takes', () => {
  const examples = shownCommands().flatMap((name) => COMMANDS[name].examples.map((line) => line.split(' ').slice(1)))
  const options = (Object.keys(COMMANDS) as CommandName[]).flatMap((name) =>
    COMMANDS[name].options.map((option) => [
      name,
      ...Array.from({ length: commandSpec(name).operand?.least ?? 0 }, () => 'x'),
      ...OPTIONS[option].example.split(' '),
    ]),
  )
  for (const words of [...examples, ...options]) expect(parse(words).command).toBe(words[0])
})
