import { type CommandName, commandSpec, OPTIONS, type OptionName, optionSpec, shownCommands } from './options'

const WIDTH = 100

/** What `cardwright --help` prints. */
export function generalHelp(version: string): string {
  const commands = shownCommands().map((name): Row => [usage(name), commandSpec(name).summary])
  return page([
    `cardwright ${version}: part families in, true-scale cut sheets out`,
    `Usage: cardwright COMMAND [options]`,
    `Commands:\n${table(commands)}`,
    `Options:\n${table(EVERYWHERE.map(optionRow))}`,
    EXIT_CODES,
    'More about one command: cardwright build --help',
  ])
}

/** What `cardwright COMMAND --help` prints. */
export function commandHelp(name: CommandName): string {
  const { summary, details, operand, options, examples } = commandSpec(name)
  const rows = [...(operand ? [operandRow(operand)] : []), ...options.map(optionRow)]
  return page([
    `Usage: cardwright ${usage(name)} [options]`,
    [summary, ...details].map((text) => wrap(text, 0)).join('\n'),
    table(rows),
    examples.length > 0 ? `Examples:\n${examples.map((line) => `  ${line}`).join('\n')}` : '',
    EXIT_CODES,
  ])
}

/** OPTIONS.md, whole. */
export function optionsPage(): string {
  const commands = shownCommands().map((name) => {
    const { summary, details, operand, options, examples } = commandSpec(name)
    const rows = [
      ...(operand ? [operandRow(operand)] : []),
      ...options.filter((o) => !EVERYWHERE.includes(o)).map(optionRow),
    ]
    return page([
      `## cardwright ${usage(name)}`,
      [summary, ...details].join('\n\n'),
      rows.length > 0 ? markdownTable(rows) : '',
      examples.length > 0 ? `\`\`\`sh\n${examples.join('\n')}\n\`\`\`` : '',
    ])
  })
  return page([
    '# The command line',
    'Made by `cardwright docs > OPTIONS.md` from the table in `lib/cli/options.ts`; a test fails when the two differ.',
    ...commands,
    `## Everywhere\n\n${markdownTable(EVERYWHERE.map(optionRow))}`,
    '## Exit codes\n\n| code | means |\n| --- | --- |\n' +
      EXIT_MEANINGS.map(([code, meaning]) => `| ${code} | ${meaning} |`).join('\n'),
  ])
}

const EVERYWHERE: readonly OptionName[] = ['color', 'trace', 'help', 'version']

const EXIT_MEANINGS = [
  ['0', 'good'],
  ['1', 'the model has an error, or could not be written'],
  ['2', 'wrong use of the command'],
] as const

const EXIT_CODES = `Exit codes: ${EXIT_MEANINGS.map(([code, meaning]) => `${code} ${meaning}`).join('; ')}`

type Row = readonly [left: string, right: string]

function usage(name: CommandName): string {
  const { operand } = commandSpec(name)
  if (!operand) return name
  const word = operand.name.toUpperCase()
  const one = operand.least === 0 ? `[${word}]` : word
  return `${name} ${one}${operand.most === Number.POSITIVE_INFINITY ? '...' : ''}`
}

function operandRow({ name, help }: { name: string; help: string }): Row {
  return [name.toUpperCase(), help]
}

function optionRow(name: OptionName): Row {
  const spec = optionSpec(name)
  const left = `--${spec.negatable ? '[no-]' : ''}${name}${spec.value ? ` ${spec.value}` : ''}`
  const notes = [
    spec.default !== undefined ? `default ${spec.default}` : '',
    spec.value && spec.example ? `for example ${OPTIONS[name].example}` : '',
  ].filter((note) => note !== '')
  return [left, notes.length > 0 ? `${spec.help} (${notes.join('; ')})` : spec.help]
}

function table(rows: readonly Row[]): string {
  const indent = Math.max(...rows.map(([left]) => left.length)) + 4
  return rows.map(([left, right]) => `  ${left.padEnd(indent - 2)}${wrap(right, indent)}`).join('\n')
}

function markdownTable(rows: readonly Row[]): string {
  return ['| | |', '| --- | --- |', ...rows.map(([left, right]) => `| \`${left}\` | ${right} |`)].join('\n')
}

/** Breaks the text at spaces; lines after the first are indented. */
function wrap(text: string, indent: number): string {
  const lines: string[] = []
  let line = ''
  for (const word of text.split(' ')) {
    if (line !== '' && indent + line.length + 1 + word.length > WIDTH) {
      lines.push(line)
      line = word
    } else line = line === '' ? word : `${line} ${word}`
  }
  return [...lines, line].join(`\n${' '.repeat(indent)}`)
}

function page(blocks: readonly string[]): string {
  return blocks.filter((block) => block !== '').join('\n\n')
}
