import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { Loop } from '../../lib/shape/point'
import { nestStrip, type StripRequest, type StripResult } from '../../lib/nest/strip'
import { signedArea } from '../../lib/nest/turn'
import { verifyLayout } from '../../lib/nest/verify'
import { box, piece } from './cases'

interface Instance {
  readonly stripWidth: number
  readonly totalArea: number
  readonly published: { readonly meanDensity: number }
  readonly pieces: readonly { readonly count: number; readonly rotations: readonly number[]; readonly outline: Loop }[]
}

/** ESICUP data set FU (Fujita, Akagi, Hirokawa 1993), public domain (CC0). */
const fu = JSON.parse(readFileSync(join(__dirname, 'fixtures/fu.json'), 'utf8')) as Instance

function requestOf(pieces: StripRequest['pieces'], width: number, asks: number, seed = 1): StripRequest {
  return { width, pieces, seed, spent: (asked) => asked / asks }
}

function faults({ pieces, width }: StripRequest, { placements, length }: StripResult) {
  const area = { minX: 0, minY: 0, maxX: length, maxY: width }
  const all = placements.map((place, i) =>
    piece(`${place.piece}#${i}`, pieces[place.piece]!.outline, { turns: pieces[place.piece]!.turns }),
  )
  const placed = placements.map(({ rotation, x, y }, i) => ({ id: all[i]!.id, sheet: 0, x, y, turn: rotation }))
  const request = { pieces: all, sheet: { width: length, height: width, area }, gap: 0 }
  return verifyLayout(request, { placements: placed, unplaced: [], sheets: 1 }, 1e-6)
}

describe('nestStrip', () => {
  const pieces = fu.pieces.map(({ count, rotations, outline }) => ({ count, turns: rotations, outline }))
  const published = requestOf(pieces, fu.stripWidth, 5e6)

  it('comes near the published density of FU', () => {
    const area = fu.pieces.reduce((sum, { count, outline }) => sum + count * Math.abs(signedArea(outline)), 0)
    expect(area).toBe(fu.totalArea)
    const result = nestStrip(published)
    expect(faults(published, result)).toEqual([])
    const density = (100 * fu.totalArea) / (fu.stripWidth * result.length)
    expect(density).toBeGreaterThan(fu.published.meanDensity - 8)
    expect(density).toBeLessThan(100)
  })

  it('gives the same layout for the same seed', () => {
    const short = { ...published, spent: (asked: number) => asked / 2e5 }
    expect(nestStrip(short)).toEqual(nestStrip(short))
    expect(nestStrip(short)).not.toEqual(nestStrip({ ...short, seed: 2 }))
  })

  it('fits triangles into boxes', () => {
    // Twelve right triangles of 20 by 10 on a strip 20 wide: 12 * 100 mm² take at least 60 mm.
    const request = requestOf([{ count: 12, turns: [0, 180], outline: [[0, 0], [20, 0], [0, 10]] }], 20, 1e6)
    const result = nestStrip(request)
    expect(faults(request, result)).toEqual([])
    expect(result.length).toBeGreaterThanOrEqual(60 - 1e-6)
    expect(result.length).toBeLessThan(62)
  })

  it('refuses a piece that is wider than the strip however it lies', () => {
    const request = requestOf([{ count: 1, turns: [0, 90], outline: box(12, 30) }], 10, 5e4)
    expect(() => nestStrip(request)).toThrow('piece 0 is 12 wide at best, the strip 10')
  })

  it('turns a piece that is wider than the strip', () => {
    const request = requestOf([{ count: 2, turns: [0, 90], outline: box(5, 30) }], 10, 5e4)
    const result = nestStrip(request)
    expect(faults(request, result)).toEqual([])
    expect(result.placements.map(({ rotation }) => rotation)).toEqual([90, 90])
  })
})
