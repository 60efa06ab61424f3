import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmdirSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { basename, dirname, join, relative, resolve, sep } from 'node:path'
import { ownVersion } from '../main'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import { UsageError } from '../usage'

/** `cardwright new NAME`: copies `starter/`, made complete aside and then renamed into place. */
export async function startProject({ operands: [name = ''] }: Request, manner: Manner): Promise<number> {
  checkName(name)
  const folder = resolve(name)
  if (existsSync(folder) && !isEmptyFolder(folder)) {
    throw new UsageError(`${name} is there already`, 'choose another name, or move it away; nothing was changed')
  }
  try {
    copyStarter(folder, name)
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException
    if (code === undefined) throw error
    const finding = {
      id: 'write',
      severity: 'error',
      text: `${name} could not be made: ${message}`,
      remedy: 'go to a folder that you may write to, on a disk with space left',
    } as const
    process.stderr.write(printProblems([{ finding, error }], manner))
    return EXIT.findings
  }
  process.stdout.write(
    [
      `${name} is made. Now:`,
      `  cd ${name}`,
      '  npm install',
      '  npx cardwright build',
      `and edit ${name}/parts/${name}/index.ts.`,
      ...localNote(sourceFor(folder)),
      '',
    ].join('\n'),
  )
  return EXIT.good
}

/** npm leaves dot files out of packages, or takes them for its own, so they travel without the dot. */
function copyStarter(folder: string, name: string): void {
  const aside = mkdtempSync(join(dirname(folder), `.${name}-`))
  try {
    cpSync(STARTER, aside, { recursive: true })
    for (const name of ['gitignore', 'gitattributes', 'github']) renameSync(join(aside, name), join(aside, `.${name}`))
    renameSync(join(aside, 'parts', 'model'), join(aside, 'parts', name))
    for (const file of FILLED) fill(join(aside, file.replace('NAME', name)), name, folder)
    if (existsSync(folder)) rmdirSync(folder)
    renameSync(aside, folder)
  } finally {
    rmSync(aside, { recursive: true, force: true })
  }
}

const OWN_FOLDER = resolve(__dirname, '../../..')
const STARTER = join(OWN_FOLDER, 'starter')

/**
 * What the project's package.json asks for: this version from the registry, or the clone or the packed file that this
 * program itself was taken from.
 */
function sourceFor(folder: string): string {
  const modules = dirname(OWN_FOLDER)
  const local = basename(modules) === 'node_modules' ? packedFile(modules) : OWN_FOLDER
  if (local === undefined) return `^${ownVersion()}`
  return `file:${relative(folder, local).split(sep).join('/')}`
}

/** The file that npm unpacked this program from, by npm's own note of what it installed; undefined for the registry. */
function packedFile(modules: string): string | undefined {
  try {
    const { packages } = JSON.parse(readFileSync(join(modules, '.package-lock.json'), 'utf8'))
    const { resolved } = packages['node_modules/cardwright'] as { resolved: string }
    return resolved.startsWith('file:') ? resolve(dirname(modules), resolved.slice('file:'.length)) : undefined
  } catch {
    return undefined
  }
}

function localNote(source: string): string[] {
  if (!source.startsWith('file:')) return []
  return [
    `It takes cardwright from ${source.slice('file:'.length)}, which CI cannot see: before you push, copy what npm pack makes of`,
    'it into the project and npm install that file.',
  ]
}
/** Files in which `{{name}}`, `{{title}}` and `{{source}}` stand. */
const FILLED = ['package.json', 'README.md', 'parts/NAME/index.ts']

function fill(file: string, name: string, folder: string): void {
  const words = { name, title: titleOf(name), source: sourceFor(folder) }
  const text = readFileSync(file, 'utf8').replace(
    /\{\{(name|title|source)\}\}/g,
    (_, word: keyof typeof words) => words[word],
  )
  writeFileSync(file, text)
}

/** `harbour-tug` as `Harbour tug`. */
function titleOf(name: string): string {
  const words = name.replaceAll('-', ' ')
  return words.charAt(0).toUpperCase() + words.slice(1)
}

const LONGEST_NAME = 60

/** The name becomes a folder, an npm package and a model: what all three take on every system. */
function checkName(name: string): void {
  const refuse = (why: string) => {
    throw new UsageError(`"${name.slice(0, LONGEST_NAME)}" will not do as a name: ${why}`, 'write it like harbour-tug')
  }
  if (name.length > LONGEST_NAME) refuse(`it has ${name.length} characters, ${LONGEST_NAME} are allowed`)
  if (!/^[a-z]/.test(name)) refuse('it does not begin with a small letter')
  const odd = /[^a-z0-9-]/.exec(name)
  if (odd) refuse(`"${odd[0]}" is not a small letter, a digit or a hyphen`)
  if (/-$|--/.test(name)) refuse('a hyphen stands at its end or doubled')
  if (RESERVED.has(name)) refuse('it is reserved by npm, Windows or Cardwright')
}

const RESERVED = new Set([
  'cardwright',
  'con',
  'prn',
  'aux',
  'nul',
  ...[1, 2, 3, 4, 5, 6, 7, 8, 9].flatMap((n) => [`com${n}`, `lpt${n}`]),
])

function isEmptyFolder(path: string): boolean {
  try {
    return readdirSync(path).length === 0
  } catch {
    return false
  }
}
