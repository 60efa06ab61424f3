import type { Solid } from '../fit/solid'

/**
 * Solids as binary STL: 80 bytes of title, a count, then 50 bytes a triangle, little-endian, mm. The format knows neither
 * units nor parts; the other formats keep pieces apart. (Layout as published by M. Burns, Automated Fabrication, 1993,
 * from memory.)
 */
export function stlOf(title: string, solids: readonly Solid[]): Uint8Array {
  const count = solids.reduce((sum, { triangles }) => sum + triangles.length / 3, 0)
  const bytes = new Uint8Array(HEAD + 4 + FACET * count)
  const view = new DataView(bytes.buffer)
  // A file that begins with "solid" is taken for the text form.
  bytes.set(new TextEncoder().encode(`binary, mm: ${title}`).subarray(0, HEAD))
  view.setUint32(HEAD, count, true)
  let at = HEAD + 4
  for (const { vertices, triangles } of solids) {
    for (let t = 0; t < triangles.length; t += 3) {
      const corners = [0, 1, 2].map((k) => 3 * triangles[t + k]!)
      const numbers = [...normal(vertices, corners), ...corners.flatMap((i) => [vertices[i]!, vertices[i + 1]!, vertices[i + 2]!])]
      for (const [i, number] of numbers.entries()) view.setFloat32(at + 4 * i, number, true)
      at += FACET
    }
  }
  return bytes
}

const HEAD = 80
const FACET = 50

function normal(vertices: Float64Array, [a, b, c]: number[]): number[] {
  const edge = (to: number, k: number) => vertices[to + k]! - vertices[a! + k]!
  const [ux, uy, uz] = [edge(b!, 0), edge(b!, 1), edge(b!, 2)]
  const [vx, vy, vz] = [edge(c!, 0), edge(c!, 1), edge(c!, 2)]
  const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
  const length = Math.hypot(x, y, z) || 1
  return [x / length, y / length, z / length]
}
