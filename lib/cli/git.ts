import { spawnSync } from 'node:child_process'
import { mkdtempSync, realpathSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { nearestName } from '../finding/nearest'
import { UsageError } from './usage'

/** A commit, as the author named it, and the folder of the project in its repository. */
export interface Revision {
  readonly name: string
  readonly hash: string
  /** As git shortens it: `3f2a1bc`. */
  readonly short: string
  /** The repository's uppermost folder. */
  readonly top: string
  /** The project's folder below that: empty, or `models/`. */
  readonly prefix: string
}

/**
 * @param root the project's folder
 * @throws UsageError where there is no git, no repository or no such revision, with the nearest name
 */
export function findRevision(root: string, name: string): Revision {
  const [top = '', prefix = ''] = repositoryOf(root)
  const found = run(top, ['rev-parse', '--verify', '--quiet', '--end-of-options', `${name}^{commit}`])
  if (found.status !== 0) throw unknownRevision(top, name)
  const hash = found.text.trim()
  const short = git(top, ['rev-parse', '--short', hash]).trim()
  return { name, hash, short, top, prefix }
}

/** Files of the project at a revision, below its folder, without what is under `node_modules`. */
export function filesAt({ top, hash, prefix, name }: Revision): string[] {
  const listed = run(top, ['ls-tree', '-r', '-z', '--name-only', treeOf({ hash, prefix })])
  if (listed.status !== 0) {
    throw new UsageError(
      `at ${name} there is no folder ${prefix}`,
      'name a later revision: the project was not there yet',
    )
  }
  return listed.text.split('\0').filter((path) => path !== '' && !/(^|\/)node_modules\//.test(path))
}

/** The text of a file at a revision, its path below the project's folder. */
export function textAtRevision({ top, hash, prefix }: Revision, path: string): string {
  return git(top, ['cat-file', 'blob', `${hash}:${prefix}${path}`])
}

/**
 * Files of a revision in a folder of their own outside the repository, and how to be rid of it again. With an index
 * of its own beside them, so that neither the author's files nor what is staged is touched.
 */
export function checkOut(revision: Revision, files: readonly string[]): { folder: string; remove: () => void } {
  const aside = realpathSync(mkdtempSync(join(tmpdir(), 'cardwright-revision-')))
  const remove = () => rmSync(aside, { recursive: true, force: true })
  try {
    const folder = join(aside, 'project')
    const env = { ...process.env, GIT_INDEX_FILE: join(aside, 'index') }
    git(revision.top, ['read-tree', treeOf(revision)], { env })
    const words = ['checkout-index', '-z', '--stdin', `--prefix=${folder}/`]
    git(revision.top, words, { env, input: files.map((file) => `${file}\0`).join('') })
    return { folder, remove }
  } catch (error) {
    remove()
    throw error
  }
}

interface RunOptions {
  readonly env?: NodeJS.ProcessEnv
  readonly input?: string
}

/** The repository's uppermost folder and the project's below it. */
function repositoryOf(root: string): string[] {
  const { status, text, complaint } = run(root, ['rev-parse', '--show-toplevel', '--show-prefix'])
  if (status === 0) return text.split('\n')
  const remedy = 'name output folders or manifests to compare, or make it one: git init'
  if (/not a git repository/i.test(complaint)) throw new UsageError(`${root} is not in a git repository`, remedy)
  throw new UsageError(`git cannot read ${root}: ${complaint}`, remedy)
}

function treeOf({ hash, prefix }: Pick<Revision, 'hash' | 'prefix'>): string {
  return `${hash}:${prefix.replace(/\/$/, '')}`
}

function unknownRevision(top: string, name: string): UsageError {
  if (run(top, ['rev-parse', '--verify', '--quiet', 'HEAD']).status !== 0) {
    return new UsageError(`the git repository in ${top} has no commit yet`, 'commit once: git add . && git commit')
  }
  const names = git(top, ['for-each-ref', '--format=%(refname:short)']).split('\n').filter(Boolean)
  const near = nearestName(name, ['HEAD', ...names])
  return new UsageError(
    `there is no revision "${name}", nor a folder or file of that name`,
    near === undefined ? 'see git log --oneline and git tag for what there is' : `did you mean "${near}"?`,
  )
}

/** What git prints; what it refuses here, no author could have asked for. */
function git(cwd: string, words: readonly string[], options: RunOptions = {}): string {
  const { status, text, complaint } = run(cwd, words, options)
  if (status !== 0) throw new UsageError(`git ${words[0]} failed: ${complaint}`, 'see whether git status works there')
  return text
}

function run(cwd: string, words: readonly string[], { env = process.env, input }: RunOptions = {}) {
  const { status, stdout, stderr, error } = spawnSync('git', words, {
    cwd,
    env: { ...env, LC_ALL: 'C' },
    encoding: 'utf8',
    maxBuffer: Number.POSITIVE_INFINITY,
    ...(input !== undefined && { input }),
  })
  if (error && (error as NodeJS.ErrnoException).code === 'ENOENT') {
    throw new UsageError('git was not found', 'install it, or name output folders or manifests to compare')
  }
  if (error) throw error
  return { status, text: stdout, complaint: stderr.trim().split('\n')[0]!.replace(/^fatal: /, '') }
}
