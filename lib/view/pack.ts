import type { Loop } from '../shape/point'
import type { PackedSolids } from './data'

/** Triangles of one copy of a piece; mm in the model's axes. */
export interface Body {
  readonly vertices: ArrayLike<number>
  readonly triangles: ArrayLike<number>
}

/**
 * All copies of a piece in few bytes: corners as 16-bit steps across them, which is 0.008 mm where they stand half a metre
 * apart, far below what a screen shows. Each piece by itself, so that one that changes leaves the others' text alone.
 *
 * @param bodies in the order of copies, at least one
 */
export function packSolids(bodies: readonly Body[]): PackedSolids {
  const { least, size } = extent(bodies)
  const step = size / STEPS || 1
  const corners = new Uint16Array(sum(bodies, ({ vertices }) => vertices.length))
  const wide = bodies.some(({ vertices }) => vertices.length / 3 > STEPS + 1)
  const triangles = new (wide ? Uint32Array : Uint16Array)(sum(bodies, ({ triangles }) => triangles.length))
  let corner = 0
  let triangle = 0
  for (const { vertices, triangles: own } of bodies) {
    for (let i = 0; i < vertices.length; i++) corners[corner + i] = Math.round((vertices[i]! - least[i % 3]!) / step)
    triangles.set(own, triangle)
    corner += vertices.length
    triangle += own.length
  }
  return {
    origin: least,
    step,
    corners: base64(corners),
    triangles: base64(triangles),
    wide,
    list: bodies.flatMap(({ vertices, triangles }) => [vertices.length / 3, triangles.length / 3]),
  }
}

/** Loops as base64 of Float32 pairs, one after another. */
export function packLoops(loops: readonly Loop[]): string {
  return base64(Float32Array.from(loops.flat(2)))
}

const STEPS = 65535

function extent(bodies: readonly Body[]): { least: [number, number, number]; size: number } {
  const least: [number, number, number] = [Infinity, Infinity, Infinity]
  const most = [-Infinity, -Infinity, -Infinity]
  for (const { vertices } of bodies) {
    for (let i = 0; i < vertices.length; i++) {
      const axis = i % 3
      least[axis] = Math.min(least[axis]!, vertices[i]!)
      most[axis] = Math.max(most[axis]!, vertices[i]!)
    }
  }
  return { least, size: Math.max(...most.map((value, axis) => value - least[axis]!)) }
}

function sum<T>(list: readonly T[], of: (one: T) => number): number {
  return list.reduce((total, one) => total + of(one), 0)
}

/** Little-endian, as every machine that runs this writes it. */
function base64({ buffer, byteOffset, byteLength }: Uint16Array | Uint32Array | Float32Array): string {
  return Buffer.from(buffer, byteOffset, byteLength).toString('base64')
}
