import type { PackedSolids, PagePiece } from '../data'

/** Three numbers a corner, mm. */
export function unpackCorners({ origin, step, corners }: PackedSolids): Float32Array {
  const steps = new Uint16Array(bytesOf(corners))
  const positions = new Float32Array(steps.length)
  for (let i = 0; i < steps.length; i++) positions[i] = origin[i % 3]! + step * steps[i]!
  return positions
}

export function unpackTriangles({ triangles, wide }: PackedSolids): Uint16Array | Uint32Array {
  const bytes = bytesOf(triangles)
  return wide ? new Uint32Array(bytes) : new Uint16Array(bytes)
}

/** Outline and openings of a piece on the flat, two numbers a point. */
export function unpackLoops({ flat, loops }: PagePiece): Float32Array[] {
  const numbers = new Float32Array(bytesOf(flat))
  let start = 0
  return loops.map((points) => numbers.subarray(start, (start += points * 2)))
}

export function bytesOf(base64: string): ArrayBuffer {
  const text = atob(base64)
  const bytes = new Uint8Array(text.length)
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i)
  return bytes.buffer
}
