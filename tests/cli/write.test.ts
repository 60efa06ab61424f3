import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { finishBuilds, type OutFile, writeBuild } from '../../lib/cli/write'

let out: string
let folder: string

beforeEach(() => {
  out = mkdtempSync(join(tmpdir(), 'write-'))
  folder = join(out, 'tug')
})
afterEach(() => rmSync(out, { recursive: true, force: true }))

const build = (tag: string, sheets = 2): OutFile[] => [
  ...Array.from({ length: sheets }, (_, i) => ({ path: `sheets/folder-${i + 1}.svg`, content: `<svg>${tag} ${i}</svg>` })),
  { path: 'manifest.json', content: `{"build":"${tag}"}` },
]

/** Every file below the folder with its text. */
const contents = (path = folder, prefix = ''): Record<string, string> =>
  Object.assign(
    {},
    ...readdirSync(path, { withFileTypes: true }).map((entry) =>
      entry.isDirectory()
        ? contents(join(path, entry.name), `${prefix}${entry.name}/`)
        : { [`${prefix}${entry.name}`]: readFileSync(join(path, entry.name), 'utf8') },
    ),
  )

const asFiles = (files: readonly OutFile[]) => Object.fromEntries(files.map(({ path, content }) => [path, content]))

describe('a build replaces the one before', () => {
  test('sheets that are no longer made are gone, and nothing else is left behind', () => {
    expect(writeBuild(folder, build('one', 3))).toBe('written')
    expect(contents()).toEqual(asFiles(build('one', 3)))
    expect(writeBuild(folder, build('two', 2))).toBe('written')
    expect(contents()).toEqual(asFiles(build('two', 2)))
  })

  test('the same build again touches nothing', () => {
    writeBuild(folder, build('one'))
    const past = new Date('2001-01-01T00:00:00Z')
    utimesSync(join(folder, 'manifest.json'), past, past)
    utimesSync(join(folder, 'sheets'), past, past)
    expect(writeBuild(folder, build('one'))).toBe('unchanged')
    expect(statSync(join(folder, 'manifest.json')).mtime).toEqual(past)
    expect(statSync(join(folder, 'sheets')).mtime).toEqual(past)
  })

  test('a sheet that is the same keeps its time among others that change', () => {
    writeBuild(folder, build('one'))
    const past = new Date('2001-01-01T00:00:00Z')
    utimesSync(join(folder, 'sheets/folder-1.svg'), past, past)
    const [first, second, manifest] = build('one')
    writeBuild(folder, [first!, { ...second!, content: '<svg>other</svg>' }, manifest!])
    expect(statSync(join(folder, 'sheets/folder-1.svg')).mtime).toEqual(past)
    expect(readFileSync(join(folder, 'sheets/folder-2.svg'), 'utf8')).toBe('<svg>other</svg>')
  })

  test("the author's own files stay, beside the sheets and among them", () => {
    writeBuild(folder, build('one'))
    writeFileSync(join(folder, 'notes.txt'), 'cut 3 twice')
    writeFileSync(join(folder, 'sheets/photo.jpg'), 'a picture')
    mkdirSync(join(folder, 'sheets/scans'))
    writeFileSync(join(folder, 'sheets/scans/a.tif'), 'a scan')
    writeBuild(folder, build('two'))
    expect(contents()).toEqual({
      ...asFiles(build('two')),
      'notes.txt': 'cut 3 twice',
      'sheets/photo.jpg': 'a picture',
      'sheets/scans/a.tif': 'a scan',
    })
  })

  test('a sheet by an older name is stale even when all others are the same', () => {
    writeBuild(folder, build('one'))
    writeFileSync(join(folder, 'sheets/folder-9.svg'), '<svg/>')
    expect(writeBuild(folder, build('one'))).toBe('written')
    expect(contents()).toEqual(asFiles(build('one')))
  })
})

const journal = () => join(folder, '.building')
const prepare = (name: string) => {
  for (const { path, content } of build('two', 3)) {
    mkdirSync(join(journal(), name, 'sheets'), { recursive: true })
    writeFileSync(join(journal(), name, path), content)
  }
}

describe('a build that was killed', () => {
  test('before it was complete: the old one counts, and the scraps go with the next', () => {
    writeBuild(folder, build('one'))
    prepare('next')
    finishBuilds(out)
    expect(readFileSync(join(folder, 'manifest.json'), 'utf8')).toBe('{"build":"one"}')
    writeBuild(folder, build('one'))
    expect(contents()).toEqual(asFiles(build('one')))
  })

  test.each([0, 1, 2, 3])('after it was complete and %i renames: the next command finishes it', (renames) => {
    writeBuild(folder, build('one'))
    prepare('ready')
    const steps = [
      () => renameSync(join(folder, 'sheets'), join(journal(), 'old')),
      () => renameSync(join(journal(), 'ready/sheets'), join(folder, 'sheets')),
      () => renameSync(join(journal(), 'ready/manifest.json'), join(folder, 'manifest.json')),
    ]
    for (const step of steps.slice(0, renames)) step()
    finishBuilds(out)
    expect(contents()).toEqual(asFiles(build('two', 3)))
    expect(existsSync(journal())).toBe(false)
  })

  test('its lock is taken over, even an unsigned one', () => {
    mkdirSync(journal(), { recursive: true })
    const past = new Date('2001-01-01T00:00:00Z')
    for (const owner of ['', '999999999']) {
      mkdirSync(journal(), { recursive: true })
      writeFileSync(join(journal(), 'lock'), owner)
      utimesSync(join(journal(), 'lock'), past, past)
      writeBuild(folder, build(`after "${owner}"`))
      expect(existsSync(journal())).toBe(false)
    }
  })
})

describe('a folder that cannot be written', () => {
  test('a file in its place', () => {
    writeFileSync(folder, 'a file')
    expect(() => writeBuild(folder, build('one'))).toThrow(
      /could not be written: a file stands where a folder is needed/,
    )
    expect(readFileSync(folder, 'utf8')).toBe('a file')
  })

  test('a file in the place of sheets/', () => {
    mkdirSync(folder)
    writeFileSync(join(folder, 'sheets'), 'a file')
    expect(() => writeBuild(folder, build('one'))).toThrow(/tug\/sheets could not be written: a file stands where/)
    expect(contents()).toEqual({ sheets: 'a file' })
  })
})

describe('other formats', () => {
  const withPdf = (tag: string): OutFile[] => [...build(tag), { path: 'pdf/folder.pdf', content: Buffer.from([0xff, 0, 1]) }]
  const pdf = () => join(folder, 'pdf', 'folder.pdf')

  test('are written beside the sheets, and stay while the sheets do', () => {
    writeBuild(folder, withPdf('one'))
    expect(readFileSync(pdf())).toEqual(Buffer.from([0xff, 0, 1]))
    expect(writeBuild(folder, build('one'))).toBe('unchanged')
    expect(existsSync(pdf())).toBe(true)
  })

  test('go with the sheets that they show, but not what the author put beside them', () => {
    writeBuild(folder, withPdf('one'))
    writeFileSync(join(folder, 'pdf', 'notes.txt'), 'mine')
    writeBuild(folder, build('two'))
    expect(readdirSync(join(folder, 'pdf'))).toEqual(['notes.txt'])
    rmSync(join(folder, 'pdf', 'notes.txt'))
    writeBuild(folder, withPdf('three'))
    writeBuild(folder, build('four'))
    expect(existsSync(join(folder, 'pdf'))).toBe(false)
  })

  test('can be added to a build that is there, which leaves its other formats alone', () => {
    writeBuild(folder, withPdf('one'))
    const png = { path: 'png/folder-01.png', content: Buffer.from([1]) }
    expect(writeBuild(folder, [...build('one'), png])).toBe('written')
    expect(existsSync(pdf())).toBe(true)
    expect(existsSync(join(folder, png.path))).toBe(true)
  })
})
