import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { parse } from 'yaml'
import { BIN, buildCommand, cardwright, emptyFolder } from '../helpers/command'

beforeAll(buildCommand)

interface Step {
  readonly name?: string
  readonly uses?: string
  readonly run?: string
  readonly with?: Readonly<Record<string, unknown>>
}

interface Workflow {
  readonly permissions: Readonly<Record<string, string>>
  readonly jobs: { readonly sheets: { readonly steps: readonly Step[] } }
}

test('the workflow of a new project does what it says on a pull request, up to what GitHub itself does', () => {
  const folder = emptyFolder()
  cardwright(folder, ['new', 'skiff'])
  const root = join(folder, 'skiff')
  const workflow = parse(readFileSync(join(root, '.github/workflows/sheets.yml'), 'utf8')) as Workflow
  const { steps } = workflow.jobs.sheets
  expect(workflow.permissions).toEqual({ contents: 'read' })
  // The base of a comparison is only there when all of the history is fetched.
  expect(steps.find(({ uses }) => uses?.startsWith('actions/checkout'))!.with).toEqual({ 'fetch-depth': 0 })
  expect(steps.find(({ uses }) => uses?.startsWith('actions/upload-artifact'))!.with).toMatchObject({ name: 'sheets' })

  const git = (...words: string[]) => {
    const identity = ['-c', 'user.name=Skiff', '-c', 'user.email=skiff@example.invalid']
    const { status, stdout, stderr } = spawnSync('git', [...identity, ...words], { cwd: root, encoding: 'utf8' })
    expect(status, stderr).toBe(0)
    return stdout.trim()
  }
  git('init', '--quiet', '--initial-branch=main')
  cardwright(root, ['build', '--no-types'])
  git('add', '--all')
  git('commit', '--quiet', '-m', 'First sheets')
  const base = git('rev-parse', 'HEAD')

  const summary = join(folder, 'summary.md')
  writeFileSync(summary, '')
  const runAll = (from: string, which: RegExp) => {
    const env = { ...process.env, BASE: from, GITHUB_STEP_SUMMARY: summary, NO_COLOR: '1' }
    return steps.flatMap(({ name, run }) => {
      if (run === undefined || run === 'npm ci' || !which.test(name ?? '')) return []
      const script = `npx() { shift; '${process.execPath}' '${BIN}' "$@"; }\n${run}`
      // As GitHub runs a step.
      const shell = ['--noprofile', '--norc', '-eo', 'pipefail', '-c', script]
      const { status, stderr } = spawnSync('bash', shell, { cwd: root, env, encoding: 'utf8' })
      return [{ name, status, stderr }]
    })
  }
  const failing = (from: string, which = /./) => runAll(from, which).filter(({ status }) => status !== 0)

  expect(failing(base)).toEqual([])
  expect(existsSync(join(root, 'progress.html'))).toBe(true)

  // A longer model, its sheets not built: the check and the comparison fail, and the summary says what changed.
  const source = join(root, 'parts/skiff/index.ts')
  const text = readFileSync(source, 'utf8')
  writeFileSync(source, text.replace(/full\.m\((\d+(?:\.\d+)?)\)/, (_, metres) => `full.m(${Number(metres) * 1.1})`))
  writeFileSync(summary, '')
  expect(failing(base).map(({ name }) => name)).toEqual([
    'Check the models against their sheets and the logbook',
    'Compare with what is committed',
  ])
  expect(readFileSync(summary, 'utf8')).toMatch(/reshaped/)

  // A branch that was never pushed before has no commit to compare with.
  git('add', '--all')
  git('commit', '--quiet', '-m', 'Longer')
  writeFileSync(summary, '')
  expect(failing('0'.repeat(40), /what changed/)).toEqual([])
  expect(readFileSync(summary, 'utf8')).toMatch(/reshaped/)
}, 300_000)
