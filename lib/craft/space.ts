import type { Point } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'

/** Arithmetic of points and directions in the model, and the way between a flat piece's axes and the model's. */

export function add(a: Vector, b: Vector): Vector {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

export function subtract(a: Vector, b: Vector): Vector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

export function scale(a: Vector, factor: number): Vector {
  return [a[0] * factor, a[1] * factor, a[2] * factor]
}

/** a + factor·b, the step along a direction. */
export function along(a: Vector, b: Vector, factor: number): Vector {
  return [a[0] + b[0] * factor, a[1] + b[1] * factor, a[2] + b[2] * factor]
}

/** The point a share t of the way from a to b. */
export function mix(a: Vector, b: Vector, t: number): Vector {
  return [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, a[2] + (b[2] - a[2]) * t]
}

export function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

export function cross(a: Vector, b: Vector): Vector {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

export function norm(a: Vector): number {
  return Math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])
}

export function distance(a: Vector, b: Vector): number {
  const x = a[0] - b[0]
  const y = a[1] - b[1]
  const z = a[2] - b[2]
  return Math.sqrt(x * x + y * y + z * z)
}

/** The direction of a; the zero vector stays zero, for the caller to notice. */
export function unit(a: Vector): Vector {
  const length = norm(a)
  return length === 0 ? a : scale(a, 1 / length)
}

/** Direction the printed side of a piece looks in. */
export function faceNormal(pose: Pose): Vector {
  return cross(pose.right, pose.up)
}

/** Where a point of the flat piece is in the model, `out` mm in front of the middle of the card. */
export function toModel(pose: Pose, [u, v]: Point, out = 0): Vector {
  const { origin: o, right: r, up: w } = pose
  const inPlane: Vector = [o[0] + u * r[0] + v * w[0], o[1] + u * r[1] + v * w[1], o[2] + u * r[2] + v * w[2]]
  return out === 0 ? inPlane : along(inPlane, faceNormal(pose), out)
}

/** The foot of a model point on the piece's plane, in the piece's axes. */
export function toPiece(pose: Pose, point: Vector): Point {
  const from = subtract(point, pose.origin)
  return [dot(from, pose.right), dot(from, pose.up)]
}

/** How far a model point stands in front of the middle of the card. */
export function heightOver(pose: Pose, point: Vector): number {
  return dot(subtract(point, pose.origin), faceNormal(pose))
}

export function radians(degrees: number): number {
  return (degrees * Math.PI) / 180
}

export function degrees(radians: number): number {
  return (radians * 180) / Math.PI
}
