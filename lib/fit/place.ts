import { compareText, type Finding } from '../finding/finding'
import { resolveSite } from '../finding/site'
import { cross, dot, norm } from '../craft/space'
import type { Piece } from '../model/piece'
import type { Pose } from '../shape/pose'
import { posesOf } from './solid'

/** What of a piece places are judged by. */
export type PlacedPiece = Pick<Piece, 'mark' | 'family' | 'copies' | 'pose' | 'also' | 'form' | 'site'>

/** Farthest an axis may be off a length of 1, and off a right angle, as a sine. */
const RIGID = 1e-4

/**
 * Whether every piece, and every copy of it, has a place, and whether a flat thing can stand there without being
 * stretched. Pieces without a place are one note a family, so that a model under way does not drown in them.
 */
export function placeFindings(pieces: readonly PlacedPiece[]): Finding[] {
  const bent = pieces.flatMap((piece) =>
    posesOf(piece).flatMap((pose, i) => {
      const fault = faultOf(pose)
      return fault ? [notRigid(piece, i + 1, fault)] : []
    }),
  )
  const families = new Map<string, PlacedPiece[]>()
  for (const piece of pieces) {
    if (posesOf(piece).length >= piece.copies) continue
    families.set(piece.family, [...(families.get(piece.family) ?? []), piece])
  }
  const missing = [...families.keys()].toSorted(compareText).map((family) => withoutPlace(family, families.get(family)!))
  return [...bent, ...missing]
}

/** Whether a solid can be made at the pose. */
export function isRigid(pose: Pose): boolean {
  return faultOf(pose) === undefined
}

interface Fault {
  readonly text: string
  readonly found: number
  readonly wanted: number
}

function faultOf({ origin, right, up }: Pose): Fault | undefined {
  const odd = [...origin, ...right, ...up].find((value) => !Number.isFinite(value))
  if (odd !== undefined) return { text: `has a coordinate of ${odd}, a finite number is needed`, found: odd, wanted: 0 }
  for (const [name, axis] of [['right', right], ['up', up]] as const) {
    const length = norm(axis)
    if (Math.abs(length - 1) <= RIGID) continue
    return { text: `has its ${name} axis ${length.toFixed(4)} long, 1 is needed`, found: length, wanted: 1 }
  }
  const angle = (Math.atan2(norm(cross(right, up)), dot(right, up)) * 180) / Math.PI
  if (Math.abs(Math.cos((angle * Math.PI) / 180)) <= RIGID) return undefined
  return { text: `has axes at ${angle.toFixed(2)}° to each other, 90° is needed`, found: angle, wanted: 90 }
}

function notRigid({ mark, family, copies, site }: PlacedPiece, copy: number, { text, found, wanted }: Fault): Finding {
  const where = resolveSite(site)
  const name = copies > 1 ? `copy ${copy} of ${mark}` : mark
  return {
    id: 'pose-not-rigid',
    severity: 'error',
    text: `the place of ${name} ${text}`,
    remedy: 'make it with plane.frame, plane.spanwise, plane.level or plane.at',
    mark,
    family,
    found,
    wanted,
    ...(where && { site: where }),
  }
}

function withoutPlace(family: string, pieces: readonly PlacedPiece[]): Finding {
  const [first] = pieces as readonly [PlacedPiece]
  const where = resolveSite(first.site)
  const wanted = pieces.reduce((sum, { copies }) => sum + copies, 0)
  const found = pieces.reduce((sum, piece) => sum + posesOf(piece).length, 0)
  const some = pieces.length > 1 ? `${first.mark} and ${pieces.length - 1} more` : first.mark
  return {
    id: 'no-place',
    severity: 'note',
    text: `${some} of family ${family}: ${found} of ${wanted} pieces have a place in the model`,
    remedy: 'say where they stand with .place(…), one pose a copy',
    mark: first.mark,
    family,
    found,
    wanted,
    ...(where && { site: where }),
  }
}
