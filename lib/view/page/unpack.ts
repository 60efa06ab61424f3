import type { PackedSolids, PagePiece } from '../data'

/** Three numbers a corner, mm. */
export function unpackCorners({ origin, step, corners }: PackedSolids): Float32Array {
  const steps = new Uint16Array(bytesOf(corners))
  const positions = new Float32Array(steps.length)
  const [x, y, z] = origin
  for (let i = 0; i < steps.length; i += 3) {
    positions[i] = x + step * steps[i]!
    positions[i + 1] = y + step * steps[i + 1]!
    positions[i + 2] = z + step * steps[i + 2]!
  }
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
  if (FROM_BASE64) return FROM_BASE64.call(Uint8Array, base64).buffer
  const text = atob(base64)
  const bytes = new Uint8Array(text.length)
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i)
  return bytes.buffer
}

/** Where the browser has it (ECMA-262, Uint8Array.fromBase64), a tenth of the time. */
const FROM_BASE64 = (Uint8Array as unknown as { fromBase64?: (text: string) => Uint8Array<ArrayBuffer> }).fromBase64
