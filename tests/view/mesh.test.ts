import { describe, expect, test } from 'vitest'
import { solidsOf } from '../../lib/fit/solid'
import { builtInStock } from '../../lib/stock/catalogue'
import { packSolids } from '../../lib/view/pack'
import { coarseTriangles } from '../../lib/view/page/coarse'
import { edgesOf, linesOf, type Mesh, meshOf } from '../../lib/view/page/mesh'
import { createPace } from '../../lib/view/page/pace'
import { box, hole, testPiece } from '../sheet/pieces'

const folder = builtInStock('folder')
const pose = { origin: [0, 0, 0], right: [0, 1, 0], up: [0, 0, 1] } as const

function plate(width: number, rest: Parameters<typeof testPiece>[2] = {}) {
  const piece = testPiece('FR-1', box(0, 0, width, 30), { pose, ...rest })
  return { solids: packSolids(solidsOf(piece, folder)) }
}

/** By the divergence theorem, so that it is right only where all faces are there and look outwards; mm³. */
function volume({ faces: { positions: p, triangles } }: Mesh, index = triangles): number {
  let sum = 0
  for (let t = 0; t < index.length; t += 3) {
    const [a, b, c] = [index[t]! * 3, index[t + 1]! * 3, index[t + 2]! * 3]
    const across = [
      p[b + 1]! * p[c + 2]! - p[b + 2]! * p[c + 1]!,
      p[b + 2]! * p[c]! - p[b]! * p[c + 2]!,
      p[b]! * p[c + 1]! - p[b + 1]! * p[c]!,
    ]
    sum += (p[a]! * across[0]! + p[a + 1]! * across[1]! + p[a + 2]! * across[2]!) / 6
  }
  return sum
}

describe('the mesh of the page', () => {
  test('a plate has six flat faces, each with its own four corners, and twelve edges', () => {
    const { mesh } = meshOf([plate(40)])
    expect([mesh.faces.owners.length, mesh.faces.triangles.length / 3]).toEqual([24, 12])
    expect(edgesOf(mesh).mesh.owners.length / 2).toBe(12)
    const normals = Array.from({ length: 24 }, (_, i) => [...mesh.faces.normals.subarray(i * 4, i * 4 + 3)].join(' '))
    expect(new Set(normals).size).toBe(6)
    // Corners are told in steps of 0.0006 mm, of which the card is 460 thick.
    expect(volume(mesh) / (40 * 30 * folder.thickness.value)).toBeCloseTo(1, 2)
  })

  test('a round opening is one smooth face', () => {
    const { mesh } = meshOf([plate(40, { openings: [hole(20, 15, 8, 48)] })])
    // Two rings of 48 edges; none along the wall of the opening.
    expect(edgesOf(mesh).mesh.owners.length / 2).toBe(12 + 2 * 48)
    expect(mesh.faces.owners.length).toBe(24 + 4 * 48)
  })

  test('a change that keeps the sizes is made in place, and is what a fresh mesh would be', () => {
    const pieces = [plate(40), plate(50, { copies: 2, also: [{ ...pose, origin: [60, 0, 0] }] }), plate(60)]
    const before = meshOf(pieces)
    const lines = { edges: edgesOf(before.mesh).mesh, solids: before.mesh.solids }
    const next = [pieces[0]!, plate(55, { copies: 2, also: [{ ...pose, origin: [65, 0, 0] }] }), pieces[2]!]
    const { mesh, changed } = meshOf(next, before.mesh)
    expect(changed).toEqual([1, 2])
    expect(mesh.faces.positions).toBe(before.mesh.faces.positions)
    const edges = edgesOf(mesh, lines)
    expect(edges.changed).toEqual([1, 2])
    const fresh = meshOf(next)
    expect(mesh).toEqual(fresh.mesh)
    expect(edges.mesh).toEqual(edgesOf(fresh.mesh).mesh)
  })

  test('another size, or another number of pieces, makes all anew', () => {
    const before = meshOf([plate(40), plate(50)])
    const more = meshOf([plate(40), plate(50, { openings: [hole(20, 15, 8)] })], before.mesh)
    expect(more.changed).toBeUndefined()
    expect(volume(more.mesh)).toBeCloseTo((40 * 30 + 50 * 30 - Math.PI * 64) * folder.thickness.value, 0)
    expect(meshOf([plate(40)], before.mesh).changed).toBeUndefined()
  })

  test('pieces without a place are passed over, and no piece at all is no mesh', () => {
    const { mesh } = meshOf([{}, plate(40)])
    expect(mesh.solids.map(({ piece }) => piece)).toEqual([1])
    expect(linesOf(mesh, [0]).positions.length / 3).toBe(24)
    expect(meshOf([]).mesh.faces.triangles.length).toBe(0)
  })

  test('the rough one has far fewer triangles, of the same outside', () => {
    const { mesh } = meshOf([plate(40, { openings: [hole(20, 15, 8, 240)] })])
    const rough = coarseTriangles(mesh)
    expect(rough.length).toBeLessThan(mesh.faces.triangles.length / 3)
    const reach = (index: Uint32Array, axis: number) => {
      const along = [...index].map((corner) => mesh.faces.positions[corner * 3 + axis]!)
      return Math.max(...along) - Math.min(...along)
    }
    expect(reach(rough, 1)).toBeGreaterThan(40 * 0.8)
    expect(reach(rough, 2)).toBeGreaterThan(30 * 0.8)
  })
})

describe('pace', () => {
  test('gives up edges and points while frames are slow, and takes them back when they have been quick for a while', () => {
    const pace = createPace(false)
    expect(pace.quality).toEqual({ scale: 1, edges: true, coarse: false })
    for (let i = 0; i < 9; i++) pace.took(400)
    expect(pace.quality).toMatchObject({ edges: false, coarse: true })
    const roughest = pace.quality
    for (let i = 0; i < 10; i++) pace.took(15)
    expect(pace.quality).toBe(roughest)
    for (let i = 0; i < 300; i++) pace.took(15)
    expect(pace.quality.scale).toBe(1)
  })

  test('stays where frames are neither', () => {
    const pace = createPace(true)
    const first = pace.quality
    for (let i = 0; i < 100; i++) pace.took(35)
    expect(pace.quality).toBe(first)
  })
})
