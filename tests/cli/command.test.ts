import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { EventEmitter, once } from 'node:events'
import {
  chmodSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  realpathSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import {
  BIN,
  buildCommand,
  cardwright,
  contents,
  emptyFolder,
  project,
  type Run,
  startCardwright,
} from '../helpers/command'

beforeAll(buildCommand)

const ESCAPE = '\u001b'

describe('a build', () => {
  test('writes sheets and manifest, and says what it made', () => {
    const folder = project('good')
    const { code, stdout, stderr } = cardwright(folder, ['build', '--no-types'])
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    expect(stdout.replace(/\d+\.\d\d s/, '0.00 s').replaceAll(/\d+ %/g, '0 %')).toBe(
      [
        'Tug, 1:60: 6 pieces on 2 sheets',
        '  divider 0.45 mm: 4 pieces on 1 sheet, 0 % of the room used',
        '  folder 0.28 mm: 2 pieces on 1 sheet, 0 % of the room used',
        '  out/tug: sheets and manifest written',
        'built in 0.00 s',
        '',
      ].join('\n'),
    )
    expect(Object.keys(contents(join(folder, 'out/tug'))).toSorted()).toEqual([
      'manifest.json',
      'sheets/divider-01.svg',
      'sheets/folder-01.svg',
    ])
  })

  test('of one source gives the same bytes in another process and another folder', () => {
    const [one, two] = [project('good'), project('good')]
    cardwright(one, ['build', '--no-types'])
    cardwright(two, ['build', '--no-types', '--out', 'elsewhere'])
    expect(contents(join(two, 'elsewhere'))).toEqual(contents(join(one, 'out')))
  })

  test('of an unchanged source writes nothing', () => {
    const folder = project('good')
    cardwright(folder, ['build', '--no-types'])
    const before = statSync(join(folder, 'out/tug/sheets')).mtimeMs
    expect(cardwright(folder, ['build', '--no-types']).stdout).toContain('out/tug: nothing has changed')
    expect(statSync(join(folder, 'out/tug/sheets')).mtimeMs).toBe(before)
  })

  test('keeps an unchanged piece where it was, unless told to lay out afresh', () => {
    const folder = project('good')
    cardwright(folder, ['build', '--no-types'])
    const file = join(folder, 'out/tug/manifest.json')
    const placed = (): { stock: string; placements: { id: string; x: number }[] }[] =>
      JSON.parse(readFileSync(file, 'utf8')).pieces
    const moved = placed().map((piece) => ({
      ...piece,
      placements: piece.placements.map((place) => (piece.stock === 'folder' ? { ...place, x: place.x + 40 } : place)),
    }))
    const text = JSON.parse(readFileSync(file, 'utf8'))
    writeFileSync(file, JSON.stringify({ ...text, pieces: moved }))
    cardwright(folder, ['build', '--no-types'])
    expect(placed().map(({ placements }) => placements)).toEqual(moved.map(({ placements }) => placements))
    cardwright(folder, ['build', '--no-types', '--repack'])
    expect(placed().map(({ placements }) => placements)).not.toEqual(moved.map(({ placements }) => placements))
  })

  test('says that an old manifest cannot be read, and lays out afresh', () => {
    const folder = project('good')
    cardwright(folder, ['build', '--no-types'])
    const file = join(folder, 'out/tug/manifest.json')
    writeFileSync(file, readFileSync(file, 'utf8').slice(0, 900))
    const { code, stderr } = cardwright(folder, ['build', '--no-types'])
    expect(code).toBe(0)
    expect(stderr).toMatch(/^warning: .*manifest\.json is cut off after 900 characters/)
    expect(() => JSON.parse(readFileSync(file, 'utf8'))).not.toThrow()
  })

  test('check fails where the sheets are not what the source makes', () => {
    const folder = project('good')
    expect(cardwright(folder, ['check', '--no-types']).code).toBe(0)
    cardwright(folder, ['build', '--no-types'])
    expect(cardwright(folder, ['check', '--no-types']).code).toBe(0)
    const sheet = join(folder, 'out/tug/sheets/folder-01.svg')
    writeFileSync(sheet, readFileSync(sheet, 'utf8').replace('Tug', 'Tub'))
    const { code, stderr } = cardwright(folder, ['check', '--no-types'])
    expect(code).toBe(1)
    expect(stderr).toMatch(/the sheets in .*tug are not what the source makes now/)
  })

  test('takes another scale and the thickness on the bench', () => {
    const folder = project('good')
    const { stdout } = cardwright(folder, [
      'build',
      '--no-types',
      'parts/tug/',
      '--scale',
      '1/72',
      '--stock',
      'folder=12pt',
    ])
    expect(stdout).toMatch(/^Tug, 1:72: /)
    expect(stdout).toMatch(/^ {2}folder 0\.30 mm: 2 pieces on 1 sheet, \d+ % of the room used$/m)
  })

  test('works from a folder within the project', () => {
    const folder = project('good')
    expect(cardwright(join(folder, 'parts/tug'), ['build', '--no-types']).code).toBe(0)
    expect(contents(join(folder, 'out/tug'))['manifest.json']).toBeDefined()
  })

  test('has no colours in a pipe, and has them when asked', () => {
    const folder = project('type-error')
    const plain = cardwright(folder, ['build'])
    expect(plain.stdout + plain.stderr).not.toContain(ESCAPE)
    expect(cardwright(folder, ['build', '--color']).stderr).toContain(`${ESCAPE}[31merror`)
  })
})

const builtThenBroken = (source: string) => {
  const folder = project('good')
  cardwright(folder, ['build', '--no-types'])
  const before = contents(join(folder, 'out'))
  writeFileSync(join(folder, 'parts/tug/index.ts'), source)
  return { folder, before }
}

describe('an error stops a model, and what was there stays whole', () => {
  test.each(['throws', 'loops', 'syntax', 'duplicate-mark', 'not-a-number', 'returns-nothing'])('%s', (name) => {
    const source = readFileSync(join(project(name), 'parts/tug/index.ts'), 'utf8')
    const { folder, before } = builtThenBroken(source)
    const { code, stderr } = cardwright(folder, ['build', '--no-types', '--time-limit', name === 'loops' ? '1' : '20'])
    expect(code).toBe(1)
    expect(stderr).toMatch(/^error/)
    expect(stderr).not.toContain('    at ')
    expect(contents(join(folder, 'out'))).toEqual(before)
  })

  test('other models are built all the same', () => {
    const folder = project('good')
    writeFileSync(join(folder, 'parts/barge.ts'), "export default model('Barge', {}, () => [])\n")
    const { code, stdout } = cardwright(folder, ['build', '--no-types'])
    expect(code).toBe(1)
    expect(stdout).toContain('barge: not evaluated, 1 error\n')
    expect(stdout).toContain('out/tug: sheets and manifest written\n')
  })
})

describe('findings of a model name the mark, the place and the line', () => {
  test('duplicate marks', () => {
    expect(cardwright(project('duplicate-mark'), ['check', '--no-types']).stderr).toMatchInlineSnapshot(`
      "error DK: 2 pieces have the mark DK, one is meant; the other is from line 4 of index.ts
        parts/tug/index.ts:3:38 (duplicate-mark)
          const deck = single('DK', () => piece({ stock: 'folder' }).outline(rectangle(full.m(2), full.m(3))))
                                               ^
        give each family a code of its own, put a family into one assembly only, or say copies: n

      "
    `)
  })

  test('a coordinate that is not a number', () => {
    expect(cardwright(project('not-a-number'), ['check', '--no-types']).stderr).toMatchInlineSnapshot(`
      "error FR station 1: a length was multiplied by Infinity
        parts/tug/index.ts:4:28 (length)
          const height = full.m(1).times(at.over(full.m(4)) ** -0.5)
                                   ^
        multiply by a finite number

      "
    `)
  })

  test('a family that returns nothing', () => {
    expect(cardwright(project('returns-nothing'), ['check', '--no-types']).stderr).toMatchInlineSnapshot(`
      "error: family FR, station 3: its function returned nothing
        parts/tug/index.ts:3:22 (family)
          const frames = family('FR', stations.even(3, full.m(0), full.m(4)), (_, { number }) => {
                               ^
        return a piece, or a record of named pieces

      "
    `)
  })

  test('a family that loops for ever', () => {
    expect(cardwright(project('family-loops'), ['check', '--no-types', '--time-limit', '1']).stderr)
      .toMatchInlineSnapshot(`
      "error: family FR, station 2: it did not come to an end within 1 s
        parts/tug/index.ts:3:22 (time-limit)
          const frames = family('FR', stations.even(3, full.m(0), full.m(4)), (_, { number }) => {
                               ^
        look for a loop that never ends, or allow more with --time-limit

      "
    `)
  })

  test('marks that no sheet can show', () => {
    expect(cardwright(project('odd-marks'), ['check', '--no-types']).stderr).toMatchInlineSnapshot(`
      "error: the family code "A<B" has the character "<"
        parts/tug/index.ts:5:9 (family)
          single(code, () => piece({ stock: 'folder' }).outline(rectangle(full.m(1), full.m(1)))),
                ^
        use letters, digits, dots, hyphens and underscores

      "
    `)
  })
})

const kept = (folder: string, before: Record<string, string>, { code, stderr }: Run, text: string) => {
  expect({ code, stderr }).toEqual({ code: 1, stderr: expect.stringContaining(text) })
  expect(stderr).not.toContain('    at ')
  expect(contents(join(folder, 'out'))).toEqual(before)
}
const built = () => {
  const folder = project('good')
  cardwright(folder, ['build', '--no-types'])
  return { folder, before: contents(join(folder, 'out')) }
}

describe('an output folder that cannot be written', () => {
  test('a file stands in its place', () => {
    const folder = project('good')
    writeFileSync(join(folder, 'out'), 'a file')
    expect(cardwright(folder, ['build', '--no-types'])).toMatchObject({
      code: 1,
      stderr: [
        'error: out/tug could not be written: a file stands where a folder is needed (ENOTDIR)',
        '  move that file, or write elsewhere with --out; the sheets that were there are untouched',
        '',
        '',
      ].join('\n'),
    })
    expect(readFileSync(join(folder, 'out'), 'utf8')).toBe('a file')
  })

  test('no permission', () => {
    const { folder, before } = built()
    chmodSync(folder, 0o755)
    chmodSync(join(folder, 'out/tug'), 0o555)
    // Root may write anywhere, so the command is run as nobody.
    const uid = process.getuid?.() === 0 ? { uid: 65534 } : {}
    const run = cardwright(folder, ['build', '--no-types', '--scale', '1:72'], uid)
    kept(folder, before, run, 'error: out/tug could not be written: you may not write there (EACCES)')
    chmodSync(join(folder, 'out/tug'), 0o755)
  })

  test('the disk fills while a sheet is written', () => {
    const { folder, before } = built()
    const full = join(__dirname, '../fixtures/cli/fullDisk.cjs')
    const run = cardwright(folder, ['build', '--no-types', '--scale', '1:72'], {
      env: { NODE_OPTIONS: `--require ${full}` },
    })
    kept(folder, before, run, 'error: out/tug could not be written: the disk is full (ENOSPC)')
  })

  test.runIf(process.platform === 'linux' && process.getuid?.() === 0)('a real disk that is full', (context) => {
    const disk = mkdtempSync(join(tmpdir(), 'disk-'))
    if (spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=16k', 'tmpfs', disk]).status !== 0) context.skip()
    try {
      mkdirSync(join(disk, 'tug/sheets'), { recursive: true })
      writeFileSync(join(disk, 'tug/manifest.json'), '{}')
      const { code, stderr } = cardwright(project('good'), ['build', '--no-types', '--out', disk])
      expect({ code, stderr }).toEqual({ code: 1, stderr: expect.stringContaining('the disk is full (ENOSPC)') })
      expect(contents(disk)).toEqual({ 'tug/manifest.json': '{}' })
    } finally {
      spawnSync('umount', [disk])
      rmSync(disk, { recursive: true })
    }
  })
})

describe('--json prints one document and nothing else', () => {
  test('of a build, though an author logs', () => {
    const folder = project('good')
    writeFileSync(join(folder, 'parts/tug/more.ts'), "console.log('hello')\n")
    const source = readFileSync(join(folder, 'parts/tug/index.ts'), 'utf8')
    writeFileSync(join(folder, 'parts/tug/index.ts'), `import './more'\n${source}`)
    const { code, stdout, stderr } = cardwright(folder, ['build', '--json'])
    expect({ code, stderr }).toEqual({ code: 0, stderr: 'hello\n' })
    expect(JSON.parse(stdout)).toMatchObject({
      command: 'build',
      ok: true,
      models: [{ name: 'tug', title: 'Tug', scale: '1:60', folder: 'out/tug', result: 'written', findings: [] }],
      types: [],
    })
  })

  test('of a model with an error', () => {
    const { code, stdout, stderr } = cardwright(project('throws'), ['build', '--json'])
    expect({ code, stderr }).toEqual({ code: 1, stderr: '' })
    const { ok, models } = JSON.parse(stdout) as { ok: boolean; models: { findings: unknown[]; result: string }[] }
    expect(ok).toBe(false)
    expect(models[0]).toMatchObject({ result: 'kept' })
    expect(models[0]!.findings[0]).toMatchObject({ id: 'threw', site: { file: 'parts/tug/index.ts', line: 9 } })
  })

  test('of wrong use', () => {
    const { code, stdout } = cardwright(project('good'), ['build', 'tgu', '--json'])
    expect(code).toBe(2)
    expect(JSON.parse(stdout)).toEqual({
      ok: false,
      error: { text: 'there is no model "tgu"', remedy: 'did you mean "tug"?' },
    })
  })

  test('of a list', () => {
    expect(JSON.parse(cardwright(project('good'), ['list', '--json']).stdout)).toMatchObject({
      models: [
        {
          name: 'tug',
          pieces: 6,
          families: [
            { family: 'DK', pieces: 2 },
            { family: 'FR', pieces: 4 },
          ],
        },
      ],
    })
  })
})

describe('wrong use is one line, a remedy and exit code 2', () => {
  test.each([
    [['bild'], 'error: there is no command "bild"\n  did you mean "build"?\n'],
    [['build', 'tgu'], 'error: there is no model "tgu"\n  did you mean "tug"?\n'],
    [['build', '--wach'], 'error: there is no option --wach\n  did you mean "--watch"?\n'],
    [
      ['build', '--scale', '1:zero'],
      'error: --scale: "1:zero" is not a scale\n  write it as 1:60, 1/72, 60 or a railway scale of NEM 010\n',
    ],
    [
      ['build', '--stock', 'folder'],
      'error: --stock: "folder" is not a stock with its thickness\n  write it like --stock folder=0.30mm (or cm, in, pt)\n',
    ],
    [
      ['build', '--stock', 'folder=thin'],
      'error: --stock folder: "thin" is not a length\n  write a number and its unit, such as 0.30mm, 0.012in or 12pt (points of 0.001 in)\n',
    ],
    [
      ['build', '--stock', 'folder=-0.3mm'],
      'error: --stock folder: "-0.3mm" is no thickness, which is above 0\n  write it like --stock folder=0.30mm (or cm, in, pt)\n',
    ],
  ])('%j', (words, stderr) => {
    expect(cardwright(project('good'), words)).toEqual({ code: 2, stdout: '', stderr })
  })

  test('outside a project', () => {
    const folder = emptyFolder()
    expect(cardwright(folder, ['build', '--no-types'])).toEqual({
      code: 2,
      stdout: '',
      stderr: `error: no package.json in ${folder} or above it\n  go to your project, or start one: cardwright new my-models\n`,
    })
  })

  test('two models of one name', () => {
    const folder = project('good')
    writeFileSync(join(folder, 'parts/tug.ts'), '')
    expect(cardwright(folder, ['list'])).toMatchObject({
      code: 2,
      stderr: 'error: there are two models named "tug": parts/tug.ts and parts/tug/index.ts\n  rename one of them\n',
    })
  })
})

describe('list', () => {
  test('shows scale, families, pieces and stocks, and passes over files that models share', () => {
    const folder = project('good')
    writeFileSync(join(folder, 'parts/shared.ts'), 'export const beam = 3.2\n')
    expect(cardwright(folder, ['list'])).toEqual({
      code: 0,
      stdout: [
        'tug: Tug, 1:60, 6 pieces (parts/tug/index.ts)',
        '  families: DK 2, FR 4',
        '  stocks: divider 4 (0.45 mm), folder 2 (0.28 mm)',
        '',
      ].join('\n'),
      stderr: '',
    })
  })

  test('ends quietly when nobody reads on', async () => {
    const child = spawn('sh', ['-c', `"${process.execPath}" "${BIN}" list | true`], { cwd: project('good') })
    let stderr = ''
    child.stderr.on('data', (text) => (stderr += text))
    await new Promise((resolve) => child.on('exit', resolve))
    expect(stderr).toBe('')
  })
})

/** Waits until what the process has printed since the last wait matches, and gives it. */
function listen({ stdout, stderr }: ChildProcess): (wanted: RegExp) => Promise<string> {
  let text = ''
  const heard = new EventEmitter()
  for (const stream of [stdout!, stderr!]) {
    stream.on('data', (chunk) => {
      text += String(chunk)
      heard.emit('text')
    })
  }
  return async (wanted) => {
    while (!wanted.test(text)) await once(heard, 'text')
    const all = text
    text = ''
    return all
  }
}

describe('--watch', () => {
  test('builds again at a save, with only what changed, and outlives errors', async () => {
    const folder = project('good')
    const child = startCardwright(folder, ['build', '--watch', '--no-types'])
    const ended = new Promise((resolve) => child.on('exit', resolve))
    const said = listen(child)
    try {
      await said(/Tug, 1:60: .*waiting for changes/s)
      const plan = join(folder, 'parts/tug/plan.ts')
      const source = readFileSync(plan, 'utf8')
      const manifest = () => contents(join(folder, 'out/tug'))['manifest.json']
      const first = manifest()
      writeFileSync(plan, source.replace('3.2', '3.4'))
      await said(/manifest written.*waiting for changes/s)
      expect(manifest()).not.toBe(first)
      writeFileSync(plan, `${source}oops(`)
      expect(await said(/not evaluated.*waiting for changes/s)).toContain('plan.ts:')
      writeFileSync(plan, source)
      await said(/manifest written.*waiting for changes/s)
      expect(manifest()).toBe(first)
    } finally {
      child.kill()
      await ended
    }
  })
})

test('a save during the first build of a watch is built as well', async () => {
  const folder = project('good')
  const plan = join(folder, 'parts/tug/plan.ts')
  const source = readFileSync(plan, 'utf8')
  // The file changes itself once, when it is first run: later than it was read, before the build has ended.
  const once = `import { writeFileSync } from 'node:fs'\nwriteFileSync(${JSON.stringify(plan)}, ${JSON.stringify(source.replace('3.2', '3.4'))})\n`
  writeFileSync(plan, once + source)
  const child = startCardwright(folder, ['build', '--watch', '--no-types', '--no-cache'])
  const ended = new Promise((resolve) => child.on('exit', resolve))
  const said = listen(child)
  try {
    await said(/waiting for changes.*manifest written.*waiting for changes/s)
  } finally {
    child.kill()
    await ended
  }
  const built = contents(join(folder, 'out/tug'))['manifest.json']
  expect(cardwright(folder, ['build', '--no-types', '--no-cache', '--out', 'again']).code).toBe(0)
  expect(built).toBe(contents(join(folder, 'again/tug'))['manifest.json'])
})

describe('new', () => {
  test('makes a project that builds and has the right types at once', () => {
    const folder = emptyFolder()
    const made = cardwright(folder, ['new', 'harbour-skiff'])
    expect(made).toMatchObject({ code: 0, stderr: '' })
    const inside = join(folder, 'harbour-skiff')
    expect(cardwright(inside, ['build'])).toMatchObject({ code: 0, stderr: '' })
    expect(cardwright(inside, ['fit'])).toMatchObject({ code: 0, stdout: 'harbour-skiff: 13 pieces stood up, all of it fits\n', stderr: '' })
    const files = contents(inside)
    expect(Object.keys(files)).toEqual(
      expect.arrayContaining([
        '.github/workflows/sheets.yml',
        '.gitignore',
        'README.md',
        'package.json',
        'tsconfig.json',
      ]),
    )
    expect(JSON.parse(files['package.json']!)).toMatchObject({
      name: 'harbour-skiff',
      dependencies: { cardwright: expect.stringMatching(/^file:/) },
    })
    const { dependencies } = JSON.parse(files['package.json']!) as { dependencies: Record<string, string> }
    expect(realpathSync(join(inside, dependencies['cardwright']!.slice(5)))).toBe(realpathSync(join(BIN, '../../..')))
    const own = Object.entries(files).filter(([path]) => !path.startsWith('.cache/'))
    expect(own.map(([, text]) => text).join('\n')).not.toMatch(/(?<!\$)\{\{/)
  })

  test.each([
    ['the file it was installed from', { resolved: 'file:../kept/cardwright-0.1.0.tgz' }, 'file:../../kept/cardwright-0.1.0.tgz'],
    ['its version, from the registry', { resolved: 'https://registry.npmjs.org/cardwright/-/cardwright-0.1.0.tgz' }, '^0.1.0'],
  ])('asks for %s', (_, lock, wanted) => {
    const folder = emptyFolder()
    const modules = join(folder, 'node_modules')
    const root = join(BIN, '../../..')
    for (const part of ['dist', 'starter', 'package.json']) {
      cpSync(join(root, part), join(modules, 'cardwright', part), { recursive: true })
    }
    writeFileSync(join(modules, '.package-lock.json'), JSON.stringify({ packages: { 'node_modules/cardwright': lock } }))
    const { status } = spawnSync(process.execPath, [join(modules, 'cardwright/dist/cli/bin.js'), 'new', 'tug'], {
      cwd: folder,
      env: { ...process.env, NODE_PATH: join(root, 'node_modules') },
    })
    expect(status).toBe(0)
    const made = JSON.parse(readFileSync(join(folder, 'tug/package.json'), 'utf8')) as { dependencies: unknown }
    expect(made.dependencies).toEqual({ cardwright: wanted })
  })

  test('leaves what is there alone', () => {
    const folder = emptyFolder()
    mkdirSync(join(folder, 'tug'))
    writeFileSync(join(folder, 'tug/notes.txt'), 'mine')
    expect(cardwright(folder, ['new', 'tug'])).toMatchObject({
      code: 2,
      stderr: 'error: tug is there already\n  choose another name, or move it away; nothing was changed\n',
    })
    expect(contents(folder)).toEqual({ 'tug/notes.txt': 'mine' })
  })

  test.each([
    ['Tug', 'it does not begin with a small letter'],
    ['../tug', 'it does not begin with a small letter'],
    ['my tug', '" " is not a small letter, a digit or a hyphen'],
    ['tug/boat', '"/" is not a small letter, a digit or a hyphen'],
    ['tug-', 'a hyphen stands at its end or doubled'],
    ['con', 'it is reserved by npm, Windows or Cardwright'],
    ['x'.repeat(61), 'it has 61 characters, 60 are allowed'],
  ])('refuses the name %s', (name, why) => {
    const folder = emptyFolder()
    const { code, stderr } = cardwright(folder, ['new', name])
    expect({ code, stderr }).toEqual({ code: 2, stderr: expect.stringContaining(`will not do as a name: ${why}\n`) })
    expect(contents(folder)).toEqual({})
  })
})
