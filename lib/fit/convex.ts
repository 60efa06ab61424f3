import type { Vector } from '../shape/pose'

/** Corners of a convex body: x, y, z each. */
export interface Corners {
  readonly xyz: Float64Array
  readonly count: number
}

/** A difference nearer to 0 than this is none, mm. */
const NONE = 1e-9

/** Nobody needs more steps: bodies of a few corners are settled in under ten. */
const STEPS = 48

// Scratch for up to four corners of the difference of the two bodies, kept from call to call.
const simplex = new Float64Array(12)
const nearest = new Float64Array(3)
const kept = new Float64Array(12)

/**
 * Distance between two convex bodies given by their corners, mm; 0 where they share a point. What is `beyond` or more
 * may be told as any distance from there on. By the nearest point of their difference to the origin (E. G. Gilbert and
 * others, IEEE J. Robotics and Automation 4, 1988), with the nearest point of a simplex as in C. Ericson, Real-Time
 * Collision Detection, 2005, chapter 5.
 */
export function convexDistance(a: Corners, b: Corners, beyond: number): number {
  let size = 0
  // Any first direction does; that between two corners is near at hand.
  nearest[0] = a.xyz[0]! - b.xyz[0]!
  nearest[1] = a.xyz[1]! - b.xyz[1]!
  nearest[2] = a.xyz[2]! - b.xyz[2]!
  let squared = Infinity
  for (let step = 0; step < STEPS; step++) {
    const vx = nearest[0]!
    const vy = nearest[1]!
    const vz = nearest[2]!
    const length = Math.sqrt(vx * vx + vy * vy + vz * vz)
    if (length < NONE) return 0
    const i = support(a, -vx, -vy, -vz)
    const j = support(b, vx, vy, vz)
    const wx = a.xyz[i]! - b.xyz[j]!
    const wy = a.xyz[i + 1]! - b.xyz[j + 1]!
    const wz = a.xyz[i + 2]! - b.xyz[j + 2]!
    // The difference lies wholly beyond the plane through w across v.
    const least = (vx * wx + vy * wy + vz * wz) / length
    if (least >= beyond) return least
    if (step > 0 && (length - least < NONE || isCorner(size, wx, wy, wz))) return length
    simplex[3 * size] = wx
    simplex[3 * size + 1] = wy
    simplex[3 * size + 2] = wz
    size = reduce(size + 1)
    if (size === 4) return 0
    const now = nearest[0]! * nearest[0]! + nearest[1]! * nearest[1]! + nearest[2]! * nearest[2]!
    if (now >= squared) return Math.sqrt(squared)
    squared = now
  }
  return Math.sqrt(squared)
}

/** The shortest way from one convex body to another that it does not touch, and a place on the first to begin it at; mm. */
export function convexWay(a: Corners, b: Corners): { from: Vector; way: Vector } {
  convexDistance(a, b, Infinity)
  const [x, y, z] = [-nearest[0]!, -nearest[1]!, -nearest[2]!]
  const top = support(a, x, y, z)
  const height = (i: number): number => a.xyz[i]! * x + a.xyz[i + 1]! * y + a.xyz[i + 2]! * z
  const most = height(top) - LEVEL * Math.sqrt(x * x + y * y + z * z)
  const sum: [number, number, number] = [0, 0, 0]
  let count = 0
  for (let i = 0; i < 3 * a.count; i += 3) {
    if (height(i) < most) continue
    for (let k = 0; k < 3; k++) sum[k]! += a.xyz[i + k]!
    count++
  }
  return { from: [sum[0] / count, sum[1] / count, sum[2] / count], way: [x, y, z] }
}

/** Corners that reach as far but for less than this lie on one edge or face of it, mm. */
const LEVEL = 1e-6

/** Place in the list of the corner that lies furthest in a direction. */
function support({ xyz, count }: Corners, x: number, y: number, z: number): number {
  let best = -Infinity
  let at = 0
  for (let i = 0; i < 3 * count; i += 3) {
    const s = xyz[i]! * x + xyz[i + 1]! * y + xyz[i + 2]! * z
    if (s > best) {
      best = s
      at = i
    }
  }
  return at
}

function isCorner(size: number, x: number, y: number, z: number): boolean {
  for (let i = 0; i < 3 * size; i += 3) if (simplex[i] === x && simplex[i + 1] === y && simplex[i + 2] === z) return true
  return false
}

/** Keeps the corners that the nearest point lies between, and how many they are; 4 where the origin is inside. */
function reduce(size: number): number {
  if (size === 1) {
    nearest.set(simplex.subarray(0, 3))
    return 1
  }
  if (size === 2) return onEdge(0, 3)
  if (size === 3) return onFace(0, 3, 6)
  return inTetrahedron()
}

function onEdge(p: number, q: number): number {
  const s = simplex
  const dx = s[q]! - s[p]!
  const dy = s[q + 1]! - s[p + 1]!
  const dz = s[q + 2]! - s[p + 2]!
  const along = -(s[p]! * dx + s[p + 1]! * dy + s[p + 2]! * dz)
  const squared = dx * dx + dy * dy + dz * dz
  if (along <= 0 || squared === 0) return take1(p)
  if (along >= squared) return take1(q)
  return take2(p, q, along / squared)
}

function onFace(a: number, b: number, c: number): number {
  const s = simplex
  const ax = s[a]!
  const ay = s[a + 1]!
  const az = s[a + 2]!
  const bx = s[b]!
  const by = s[b + 1]!
  const bz = s[b + 2]!
  const cx = s[c]!
  const cy = s[c + 1]!
  const cz = s[c + 2]!
  const ux = bx - ax
  const uy = by - ay
  const uz = bz - az
  const vx = cx - ax
  const vy = cy - ay
  const vz = cz - az
  const d1 = -(ux * ax + uy * ay + uz * az)
  const d2 = -(vx * ax + vy * ay + vz * az)
  if (d1 <= 0 && d2 <= 0) return take1(a)
  const d3 = -(ux * bx + uy * by + uz * bz)
  const d4 = -(vx * bx + vy * by + vz * bz)
  if (d3 >= 0 && d4 <= d3) return take1(b)
  const onC = d1 * d4 - d3 * d2
  if (onC <= 0 && d1 >= 0 && d3 <= 0) return d1 - d3 === 0 ? take1(a) : take2(a, b, d1 / (d1 - d3))
  const d5 = -(ux * cx + uy * cy + uz * cz)
  const d6 = -(vx * cx + vy * cy + vz * cz)
  if (d6 >= 0 && d5 <= d6) return take1(c)
  const onB = d5 * d2 - d1 * d6
  if (onB <= 0 && d2 >= 0 && d6 <= 0) return d2 - d6 === 0 ? take1(a) : take2(a, c, d2 / (d2 - d6))
  const onA = d3 * d6 - d5 * d4
  const fromB = d4 - d3
  const fromC = d5 - d6
  if (onA <= 0 && fromB >= 0 && fromC >= 0) return fromB + fromC === 0 ? take1(b) : take2(b, c, fromB / (fromB + fromC))
  const whole = onA + onB + onC
  if (!(whole > 0)) return onEdge(a, b)
  const v = onB / whole
  const w = onC / whole
  nearest[0] = ax + ux * v + vx * w
  nearest[1] = ay + uy * v + vy * w
  nearest[2] = az + uz * v + vz * w
  kept.set([ax, ay, az, bx, by, bz, cx, cy, cz])
  simplex.set(kept.subarray(0, 9))
  return 3
}

const FACES = [
  [0, 3, 6, 9],
  [0, 6, 9, 3],
  [0, 9, 3, 6],
  [3, 9, 6, 0],
] as const

const all = new Float64Array(12)
const best = new Float64Array(12)
const bestNearest = new Float64Array(3)

function inTetrahedron(): number {
  all.set(simplex)
  let [inside, size, least] = [true, 0, Infinity]
  for (const [a, b, c, opposite] of FACES) {
    simplex.set(all)
    if (!beyondFace(a, b, c, opposite)) continue
    inside = false
    const own = onFace(a, b, c)
    const squared = nearest[0]! * nearest[0]! + nearest[1]! * nearest[1]! + nearest[2]! * nearest[2]!
    if (squared >= least) continue
    least = squared
    size = own
    best.set(simplex)
    bestNearest.set(nearest)
  }
  if (inside) return 4
  simplex.set(best)
  nearest.set(bestNearest)
  return size
}

/** Whether the origin and the fourth corner lie on two sides of a face; so of a flat tetrahedron, all of whose faces count. */
function beyondFace(a: number, b: number, c: number, opposite: number): boolean {
  const s = simplex
  const ux = s[b]! - s[a]!
  const uy = s[b + 1]! - s[a + 1]!
  const uz = s[b + 2]! - s[a + 2]!
  const vx = s[c]! - s[a]!
  const vy = s[c + 1]! - s[a + 1]!
  const vz = s[c + 2]! - s[a + 2]!
  const nx = uy * vz - uz * vy
  const ny = uz * vx - ux * vz
  const nz = ux * vy - uy * vx
  const origin = -(s[a]! * nx + s[a + 1]! * ny + s[a + 2]! * nz)
  const other = (s[opposite]! - s[a]!) * nx + (s[opposite + 1]! - s[a + 1]!) * ny + (s[opposite + 2]! - s[a + 2]!) * nz
  const size = Math.sqrt(nx * nx + ny * ny + nz * nz)
  return Math.abs(other) <= NONE * size || origin * other < 0
}

function take1(p: number): number {
  const s = simplex
  const x = s[p]!
  const y = s[p + 1]!
  const z = s[p + 2]!
  nearest[0] = s[0] = x
  nearest[1] = s[1] = y
  nearest[2] = s[2] = z
  return 1
}

function take2(p: number, q: number, t: number): number {
  const s = simplex
  const px = s[p]!
  const py = s[p + 1]!
  const pz = s[p + 2]!
  const qx = s[q]!
  const qy = s[q + 1]!
  const qz = s[q + 2]!
  nearest[0] = px + (qx - px) * t
  nearest[1] = py + (qy - py) * t
  nearest[2] = pz + (qz - pz) * t
  kept.set([px, py, pz, qx, qy, qz])
  s.set(kept.subarray(0, 6))
  return 2
}
