import { describe, expect, test } from 'vitest'
import { after as sayAfter } from '../../lib/joinery/relations'
import { bench } from '../../lib/length/unit'
import { assembly } from '../../lib/model/assembly'
import { buildOrder } from '../../lib/model/buildOrder'
import { piece } from '../../lib/model/draft'
import { single } from '../../lib/model/family'
import type { Relation } from '../../lib/model/relation'
import { circle } from '../../lib/shape/primitive'
import { modelOf } from '../helpers/model'

const assemblies = ['hull', 'hull/frames', 'hull/floor', 'cabin', 'cabin/seats']
const after = (second: string, first: string): Relation => ({ kind: 'sequence', first, second })

describe('the order assemblies are built in', () => {
  test('is as they are listed, those within another before it', () => {
    expect(buildOrder(assemblies, [])).toEqual({ order: ['hull/frames', 'hull/floor', 'hull', 'cabin/seats', 'cabin'] })
  })

  test('puts before an assembly, and all within it, what must come first', () => {
    expect(buildOrder(assemblies, [after('hull', 'cabin/seats')])).toEqual({
      order: ['cabin/seats', 'hull/frames', 'hull/floor', 'hull', 'cabin'],
    })
  })

  test('lets it be said that a part comes before the rest of its own assembly', () => {
    expect(buildOrder(assemblies, [after('hull', 'hull/floor')])).toEqual({
      order: ['hull/floor', 'hull/frames', 'hull', 'cabin/seats', 'cabin'],
    })
  })

  test('names those that wait for one another', () => {
    expect(buildOrder(assemblies, [after('hull', 'cabin'), after('cabin/seats', 'hull/frames')])).toMatchObject({
      cycle: expect.arrayContaining(['hull/frames', 'cabin', 'cabin/seats']),
    })
    expect(buildOrder(assemblies, [after('hull/floor', 'hull')])).toMatchObject({ cycle: ['hull', 'hull/floor'] })
  })
})

test('assemblies that wait for one another are an error, with the line that closes the circle', () => {
  const plate = (code: string) => single(code, () => piece({ stock: 'folder' }).outline(circle(bench.mm(5))))
  const found = modelOf(() => {
    sayAfter('hull', 'wing')
    sayAfter('wing', 'hull')
    return [assembly('hull', plate('A')), assembly('wing', plate('B'))]
  })
  expect(found.findings).toEqual([
    {
      id: 'build-order',
      severity: 'error',
      text: 'assemblies wait for one another: wing, then hull, then wing',
      remedy: 'take back one of the after(…) that say so',
      site: { file: expect.stringMatching(/buildOrder\.test\.ts$/), line: 44, column: 5 },
    },
  ])
})

test('an assembly that there is not is an error, with the nearest and the line that names it', () => {
  const found = modelOf(() => {
    sayAfter('hull', 'hul/floor')
    return assembly('hull', assembly('floor', single('A', () => piece({ stock: 'folder' }).outline(circle(bench.mm(5))))))
  })
  expect(found.findings).toEqual([
    {
      id: 'build-order',
      severity: 'error',
      text: 'after(…) names the assembly "hul/floor", which there is not',
      remedy: 'did you mean "hull/floor"?',
      site: { file: expect.stringMatching(/buildOrder\.test\.ts$/), line: 60, column: 5 },
    },
  ])
})
