import { execFileSync } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { emptyFolder, project } from './command'

/** A copied project in a git repository of its own. */
export interface History {
  readonly folder: string
  /** Runs git in the folder and gives what it prints. */
  git(...words: string[]): string
  /** Changes a file by replacing a text that it must hold, without committing. */
  edit(file: string, from: string, to: string): void
  /** Commits all there is; gives the short hash. */
  commit(message: string): string
}

/** A copy of a project in `tests/fixtures/cli` with one commit, tagged `step-1`; gone after the test. */
export function history(name: string): History {
  const folder = project(name)
  return begun(folder)
}

/**
 * How the launch came to be, commit by commit, each tagged `step-1` to `step-6`: at first; wider by 0.1 m; a frame put
 * in at 1.5 m, which moves the marks of those behind it on; a word on the transom, and a thwart more; the thwarts of
 * thicker card; no rudder. Gone after the test.
 *
 * @param onCommit called after each commit, for what a modeller does between them
 */
export function launchHistory(onCommit?: (launch: History) => void): History {
  if (onCommit) return grown(history('launch'), onCommit)
  const folder = emptyFolder()
  cpSync(template(), folder, { recursive: true })
  return historyIn(folder, STEPS.length + 1)
}

let made: string | undefined

/** Made once and copied: forty calls of git take longer than the test. */
function template(): string {
  if (made !== undefined) return made
  const folder = mkdtempSync(join(tmpdir(), 'cardwright-history-'))
  process.on('exit', () => rmSync(folder, { recursive: true, force: true }))
  cpSync(join(__dirname, '../fixtures/cli/launch'), folder, { recursive: true })
  grown(begun(folder))
  return (made = folder)
}

function grown(launch: History, onCommit: (launch: History) => void = () => {}): History {
  onCommit(launch)
  for (const { message, edits } of STEPS) {
    for (const [file, from, to] of edits) launch.edit(`parts/launch/${file}`, from, to)
    launch.commit(message)
    onCommit(launch)
  }
  return launch
}

function begun(folder: string): History {
  const launch = historyIn(folder, 0)
  launch.git('init', '--quiet', '--initial-branch=main')
  writeFileSync(join(folder, '.gitignore'), 'node_modules/\n.cache/\n.building/\n')
  launch.commit('First lines')
  return launch
}

function historyIn(folder: string, steps: number): History {
  const git = (...words: string[]) =>
    execFileSync('git', words, { cwd: folder, encoding: 'utf8', env: GIT_ENV, stdio: 'pipe' }).trim()
  let step = steps
  return {
    folder,
    git,
    edit(file, from, to) {
      const path = join(folder, file)
      const text = readFileSync(path, 'utf8')
      if (!text.includes(from)) throw new Error(`${file} does not hold ${from}`)
      writeFileSync(path, text.replace(from, to))
    },
    commit(message) {
      git('add', '--all')
      git('commit', '--quiet', '--allow-empty', '-m', message)
      git('tag', `step-${++step}`)
      return git('rev-parse', '--short', 'HEAD')
    },
  }
}

const STEPS: readonly { message: string; edits: readonly (readonly [file: string, from: string, to: string])[] }[] = [
  { message: 'Wider, after a better photograph', edits: [['plan.ts', 'full.m(2.4)', 'full.m(2.5)']] },
  { message: 'One frame more', edits: [['plan.ts', 'full.m(1), full.m(2)', 'full.m(1), full.m(1.5), full.m(2)']] },
  {
    message: 'Words and a third thwart',
    edits: [
      ['index.ts', "text('AFT'", "text('STERN'"],
      ['plan.ts', 'thwartCopies = 2', 'thwartCopies = 3'],
    ],
  },
  {
    message: 'Stiffer thwarts',
    edits: [['index.ts', "piece({ stock: 'folder', grain: 'along', copies", "piece({ stock: 'divider', grain: 'along', copies"]],
  },
  { message: 'No rudder', edits: [['index.ts', 'thwarts, rudder', 'thwarts']] },
]

/** Neither the machine's settings nor who runs the tests make a difference, nor the time: hashes are the same. */
const GIT_ENV = {
  ...process.env,
  GIT_CONFIG_GLOBAL: '/dev/null',
  GIT_CONFIG_NOSYSTEM: '1',
  GIT_AUTHOR_NAME: 'A Modeller',
  GIT_AUTHOR_EMAIL: 'modeller@example.org',
  GIT_COMMITTER_NAME: 'A Modeller',
  GIT_COMMITTER_EMAIL: 'modeller@example.org',
  GIT_AUTHOR_DATE: '2001-02-03T04:05:06Z',
  GIT_COMMITTER_DATE: '2001-02-03T04:05:06Z',
}
