import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { buildCommand, cardwright, project, withPackages } from '../helpers/command'

beforeAll(buildCommand)

describe("an author's file that does not load gives one message and no stack trace", () => {
  test.each([
    [
      'throws',
      `error: TypeError: Cannot read properties of undefined (reading 'metres')
  parts/tug/index.ts:9:40 (threw)
    export const beam: number = plan.beam!.metres
                                           ^
  put the line right; --trace shows how it was reached
`,
    ],
    [
      'syntax',
      `error: the file does not compile: ',' expected
  parts/tug/index.ts:5:3 (syntax)
    stocks: [],
    ^
  put the line right
`,
    ],
    [
      'loops',
      `error: the file did not come to an end within 1 s of running
  parts/tug/frames.ts:1:1 (time-limit)
    export const frames: never[] = []
    ^
  look for a loop that never ends, or allow more with --time-limit
`,
    ],
    [
      'missing-import',
      `error: "./wheelhuose" was not found
  parts/tug/index.ts:2:28 (missing-import)
    import { wheelhouse } from './wheelhuose'
                               ^
  did you mean "./wheelhouse"?
`,
    ],
    [
      'missing-package',
      `error: "seagulls-of-nowhere" was not found
  parts/tug/index.ts:1:23 (missing-import)
    import { gulls } from 'seagulls-of-nowhere'
                          ^
  install it with npm install seagulls-of-nowhere, or take the import out
`,
    ],
    [
      'no-export',
      `error: the file exports no model
  parts/tug/index.ts:1:1 (no-model)
    import { assembly } from 'cardwright'
    ^
  end it with export default model('Title', { scale: '1:60' }, () => assembly(…))
`,
    ],
    [
      'not-a-model',
      `error: the default export is a function, not a model
  parts/tug/index.ts:3:1 (no-model)
    export default () => assembly('hull')
    ^
  export default model('Title', { scale: '1:60' }, () => assembly(…))
`,
    ],
    [
      'recursion',
      `error: the functions call each other too deeply
  parts/tug/index.ts:4:3 (threw)
    return half(length / 2)
    ^
  look for a function that calls itself without end
`,
    ],
  ])('%s', (name, stderr) => {
    const words = ['build', '--no-types', '--time-limit', name === 'loops' ? '1' : '20']
    expect(cardwright(project(name), words)).toEqual({
      code: 1,
      stdout: expect.stringMatching(/^tug: not evaluated, 1 error\nbuilt in \d+\.\d\d s\n$/),
      stderr: `${stderr}\n`,
    })
  })

  test('--trace adds where it came from, in lines of the TypeScript', () => {
    const { stderr } = cardwright(project('throws'), ['list', '--trace'])
    expect(stderr).toMatch(/ at .*parts\/tug\/index\.ts:9:40/)
  })
})

const loads = (folder: string) => expect(cardwright(folder, ['list'])).toMatchObject({ code: 0, stderr: '' })

describe('settings of the project cannot break loading', () => {
  test('an ES module package', () => {
    const folder = project('good')
    writeFileSync(join(folder, 'package.json'), '{ "type": "module" }')
    loads(folder)
  })

  test('a tsconfig that is broken or asks for other modules', () => {
    const folder = project('good')
    writeFileSync(join(folder, 'tsconfig.json'), '{ "compilerOptions": { "module": "esnext", "target": "es3"')
    loads(folder)
  })

  test("ts-node's variables in the environment", () => {
    const env = {
      TS_NODE_TYPE_CHECK: 'true',
      TS_NODE_COMPILER_OPTIONS: '{"module":"esnext"}',
      TS_NODE_PROJECT: 'none.json',
    }
    expect(cardwright(project('good'), ['list'], { env })).toMatchObject({ code: 0, stderr: '' })
  })

  test('imports that name the .js which TypeScript would have made', () => {
    const folder = project('good')
    writeFileSync(join(folder, 'parts/tug/plan.ts'), 'export const beam = 3.2\n')
    writeFileSync(join(folder, 'parts/tug/more.ts'), "import { beam } from './plan.js'\nexport default beam\n")
    writeFileSync(join(folder, 'parts/more.ts'), "import './tug/more.js'\nexport { default } from './tug/index'\n")
    loads(folder)
  })
})

describe('types are checked beside the build', () => {
  test('errors come after the sheets, with file, line and source, and make the exit code 1', () => {
    const { code, stderr } = cardwright(project('type-error'), ['build'])
    expect(code).toBe(1)
    expect(stderr).toContain(`
error: Type 'number' is not assignable to type 'Length' (TS2322)
  parts/tug/index.ts:3:7 (type)
    const beam: Length = 3.2
          ^
  write its unit and kind: full.m(1.2) on the subject, bench.mm(3) on the bench

error: Type 'number' is not assignable to type 'string' (TS2322)
  parts/tug/index.ts:4:7 (type)
    const draught: string = 7
          ^
  put the type right before you cut: what was built may not be what was meant

error: Object literal may only specify known properties, and 'plys' does not exist in type 'PieceOptions' (TS2353)
`)
  })

  test('--no-types leaves them', () => {
    expect(cardwright(project('type-error'), ['check', '--no-types']).stderr).not.toContain('TS2322')
  })

  test("Node's types are there for files that use Node", () => {
    const folder = withPackages(project('good'))
    const source = [
      "import { readFileSync } from 'node:fs'",
      "export const text: string = readFileSync('package.json', 'utf8') + process.version",
      '',
    ].join('\n')
    writeFileSync(join(folder, 'parts/other.ts'), `${source}export { default } from './tug/index'\n`)
    expect(cardwright(folder, ['check'])).toMatchObject({ code: 0, stderr: '' })
  })
})
