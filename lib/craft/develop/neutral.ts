import type { Vector } from '../../shape/pose'
import { add, along, cross, dot, norm, scale, subtract, unit } from '../space'
import type { Ruled } from './unroll'

/**
 * The surface moved outwards to the neutral layer of the card that covers it, so that a skin over a frame of radius r
 * is cut for r + K·t and meets itself. Each edge moves within its own plane, so that the skin still ends at its frame.
 *
 * Where an edge turns by θ the card turns round it, and the layer at distance d gains θ·d there. A polygon whose
 * corners move out by m along their bisectors gains 2m·sin(θ/2), hence m = θ·d / (2·sin(θ/2)): sharp knuckles and the
 * small turns of a curve cut into chords both come out right.
 */
export function neutralSurface(surface: Ruled, out: number): Ruled {
  if (out === 0) return surface
  const normals = edgeNormals(surface)
  return {
    ...surface,
    a: moveEdge(surface.a, normals.a, out),
    b: moveEdge(surface.b, normals.b, out),
  }
}

/** The plane an edge lies in by Newell's formula; undefined for straight and twisted edges. */
export function edgePlane(edge: readonly Vector[]): Vector | undefined {
  let sum: Vector = [0, 0, 0]
  let perimeter = 0
  const from = edge[0]!
  for (let i = 1; i < edge.length; i++) {
    const step = subtract(edge[i]!, edge[i - 1]!)
    sum = add(sum, cross(subtract(edge[i - 1]!, from), step))
    perimeter += norm(step)
  }
  if (norm(sum) < 1e-6 * perimeter * perimeter || perimeter === 0) return undefined
  const normal = unit(sum)
  const flat = edge.every((point) => Math.abs(dot(subtract(point, from), normal)) < 1e-4 * perimeter)
  return flat ? normal : undefined
}

/** First and last face that meet at each point of an edge. */
type Faces = readonly [Vector, Vector]

function edgeNormals({ a, b, rulings }: Ruled): { a: Faces[]; b: Faces[] } {
  const atA: Vector[][] = a.map(() => [])
  const atB: Vector[][] = b.map(() => [])
  for (let k = 1; k < rulings.length; k++) {
    const [i, j] = rulings[k - 1]!
    const [nextI, nextJ] = rulings[k]!
    if (nextI !== i) {
      const face = unit(cross(subtract(a[nextI]!, a[i]!), subtract(b[j]!, a[i]!)))
      atA[i]!.push(face)
      atA[nextI]!.push(face)
      atB[j]!.push(face)
    }
    if (nextJ !== j) {
      const face = unit(cross(subtract(b[nextJ]!, a[nextI]!), subtract(b[j]!, a[nextI]!)))
      atA[nextI]!.push(face)
      atB[j]!.push(face)
      atB[nextJ]!.push(face)
    }
  }
  return { a: firstAndLast(a, atA), b: firstAndLast(b, atB) }
}

function firstAndLast(edge: readonly Vector[], faces: readonly (readonly Vector[])[]): Faces[] {
  const pairs = faces.map((at): Faces => {
    const real = at.filter((face) => norm(face) > 0)
    return [real[0] ?? [0, 0, 0], real.at(-1) ?? [0, 0, 0]]
  })
  const last = pairs.length - 1
  const ring = last > 1 && norm(subtract(edge[0]!, edge[last]!)) < 1e-6
  if (ring) {
    const seam: Faces = [pairs[last]![0], pairs[0]![1]]
    pairs[0] = seam
    pairs[last] = seam
  }
  return pairs
}

function moveEdge(edge: readonly Vector[], faces: readonly Faces[], out: number): Vector[] {
  const plane = edgePlane(edge)
  return edge.map((point, i) => {
    const [first, last] = faces[i]!
    const half = Math.acos(Math.min(1, Math.max(-1, dot(first, last)))) / 2
    const reach = half < 1e-6 ? out : (out * half) / Math.sin(half)
    const normal = unit(add(first, last))
    const inPlane = plane ? unit(subtract(normal, scale(plane, dot(normal, plane)))) : normal
    const lean = dot(inPlane, normal)
    // A face that lies in the plane of its edge, like the lid of a drum, has nowhere to go within it.
    return lean < 0.1 ? point : along(point, inPlane, reach / lean)
  })
}
