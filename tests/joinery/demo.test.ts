import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, expect, test } from 'vitest'
import { evaluateModel } from '../../lib/model/evaluate'
import type { Model } from '../../lib/model/model'
import type { Piece } from '../../lib/model/piece'
import sandpiper from '../../parts/sandpiper/index'
import tram from '../../parts/tram/index'
import { loadSolids, pieceSolid } from './solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const boat = evaluateModel(sandpiper, { name: 'sandpiper' })
const car = evaluateModel(tram, { name: 'tram' })

/** Families that go through each other, and how many crossings there are of them, plies counted one by one. */
test.each([
  ['ribs and laminated front spars', boat, 'WR', 'FS', 64],
  ['ribs and swept rear spars', boat, 'WR', 'RS', 32],
  ['tail ribs and spars', boat, 'TR', 'TS', 14],
  ['fin ribs and post', boat, 'FR', 'FP', 6],
  ['float frames and keels', boat, 'OF', 'OK', 14],
  ['hull frames and keel', boat, 'HF', 'KE', 52],
  ['cradle', boat, 'JC', 'JC', 10],
  ['hoops and sole bars', car, 'BF', 'SB', 30],
] as const)('%s: as solids they pass through each other without touching', (_, model: Model, first, second, crossings) => {
  const of = (code: string) => model.pieces.filter(({ family, pose }) => family === code && pose)
  const solids = new Map([...of(first), ...of(second)].map((one) => [one, pieceSolid(wasm, model, one)]))
  const least = model.stocks.get('divider')!.fit.sliding.value / 2
  let met = 0
  const look = (a: Piece, b: Piece): void => {
    const [p, q] = [solids.get(a)!, solids.get(b)!]
    // Filled up again, slots and all, they would run into each other: these are the crossings.
    if (p.hull().intersect(q.hull()).volume() < 0.2) return
    met++
    expect(p.intersect(q).volume(), `${a.mark} in ${b.mark}`).toBeLessThan(1e-5)
    expect(p.minGap(q, 1), `${a.mark} by ${b.mark}`).toBeGreaterThan(least - 0.002)
  }
  for (const [i, a] of of(first).entries()) {
    for (const [j, b] of of(second).entries()) if (first !== second || i < j) look(a, b)
  }
  expect(met).toBe(crossings)
})
