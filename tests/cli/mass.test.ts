import { beforeAll, describe, expect, test } from 'vitest'
import { catalogue } from '../../lib/stock/catalogue'
import { buildCommand, cardwright, project } from '../helpers/command'

beforeAll(buildCommand, 150_000)

describe('cardwright mass', () => {
  test('lists the whole and its assemblies, and says what the glue was taken as', () => {
    const { code, stdout } = cardwright(project('clearances'), ['mass'])
    const [title, whole, part, glue] = stdout.split('\n')
    expect(title).toBe('Shed, 1:60: mass, and centre of gravity aft, to starboard and up, mm')
    expect(whole).toMatch(/^the whole model +\d+\.\d\d g {2}\(-?\d+\.\d, -?\d+\.\d, -?\d+\.\d\)$/)
    expect(part!.replace('  shed         ', 'the whole model')).toBe(whole)
    expect(glue).toBe(
      'glue between plies taken as 60 g/m², nominal (common practice: white glue spread at 120 g/m², half of it water; no source)',
    )
    expect(code).toBe(0)
  })

  test('gives as data what its pieces weigh: they add up to the whole', () => {
    const { stdout } = cardwright(project('clearances'), ['mass', '--json'])
    const { models } = JSON.parse(stdout) as { models: { mass: number; pieces: { mass: number }[] }[] }
    const [shed] = models
    // A post of divider; two doors, two walls and a latch of folder: mm² by g/m².
    const [divider, folder] = [4 * 30, 2 * 12 * 28 + 2 * 40 * 30 + 4 * 4]
    const wanted = (divider * catalogue.divider.grammage.value + folder * catalogue.folder.grammage.value) / 1e6
    expect(shed!.mass).toBeCloseTo(wanted, 6)
    expect(shed!.pieces.reduce((sum, { mass }) => sum + mass, 0)).toBeCloseTo(shed!.mass, 9)
  })
})
