import { describe, expect, test } from 'vitest'
import { compileModel } from '../../lib/cli/compile'
import { parseScale } from '../../lib/length/scale'
import { fitOf, prepareFit } from '../../lib/fit/index'
import { evaluateModel } from '../../lib/model/evaluate'
import type { ModelDefinition } from '../../lib/model/define'
import sandpiper from '../../parts/sandpiper/index'
import tram from '../../parts/tram/index'

const demos: [string, ModelDefinition][] = [
  ['sandpiper', sandpiper],
  ['tram', tram],
]

const evaluated = demos.map(([name, definition]) => evaluateModel(definition, { name }))
const cuts = evaluated.map(({ pieces }) => pieces.reduce((sum, { copies, plies }) => sum + copies * plies, 0))

test('the demos together are at least 600 pieces to cut, of two stocks', () => {
  expect(cuts[0]! + cuts[1]!).toBeGreaterThanOrEqual(600)
  const stocks = new Set(evaluated.flatMap(({ pieces }) => pieces.map(({ stock }) => stock)))
  expect([...stocks].toSorted()).toEqual(['divider', 'folder'])
})

test('the flying boat has what its subject has', () => {
  const [boat] = evaluated
  const count = (family: string) => boat!.pieces.filter((piece) => piece.family === family).length
  expect(count('HF')).toBeGreaterThanOrEqual(24)
  expect(count('WR')).toBe(32)
  expect(new Set(boat!.pieces.filter(({ family }) => family === 'SE').map(({ side, station }) => `${side}${station}`)).size).toBe(20)
})

test.each(evaluated)('$title stands complete and nothing is in the way', async (model) => {
  const { findings, clearances } = fitOf(model, await prepareFit())
  expect(findings.map(({ text }) => text)).toEqual([])
  expect(clearances.length).toBeGreaterThanOrEqual(7)
  for (const { name, least, nearest } of clearances) expect(nearest?.gap, name).toBeGreaterThanOrEqual(least)
}, 60_000)

describe.each(demos)('%s', (name, definition) => {
  test('has no errors, and all of it finds room on sheets', () => {
    const model = evaluateModel(definition, { name })
    const { findings, sheets, files } = compileModel(model)
    expect(findings.filter(({ severity }) => severity === 'error')).toEqual([])
    expect(sheets.length).toBe(2)
    expect(files.map(({ path }) => path)).toContain('manifest.json')
    // Every label stands beside its piece or on it.
    expect(files.filter(({ content }) => String(content).includes('no room for labels')).map(({ path }) => path)).toEqual([])
  })

  test.each(['1:48', '1:72'])('regenerates at %s', (scale) => {
    const model = evaluateModel(definition, { name, scale: parseScale(scale) })
    expect(model.pieces.length).toBeGreaterThan(100)
  })
})
