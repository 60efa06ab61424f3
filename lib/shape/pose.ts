/** A point or direction in the model: x aft from the bow or nose, y to starboard, z up; mm at model size. */
export type Vector = readonly [x: number, y: number, z: number]

/**
 * Where a flat piece stands: a point (u, v) of the piece is at `origin + u·right + v·up`; the printed side looks
 * along right × up. Both axes are unit vectors at a right angle. The card lies half its thickness to either side.
 */
export interface Pose {
  readonly origin: Vector
  readonly right: Vector
  readonly up: Vector
}
