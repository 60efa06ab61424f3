import { FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import { type Length, mm } from '../length/length'
import { bench } from '../length/unit'
import { subtract, toModel } from '../craft/space'
import { type PieceSet, piecesOf } from '../model/assembly'
import type { Family } from '../model/family'
import type { Piece } from '../model/piece'
import type { Station } from '../model/stations'
import { unite } from '../shape/boolean'
import { centroid } from '../shape/measure'
import { offsetRegion } from '../shape/offset'
import type { Loop } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'
import { Shape } from '../shape/shape'

/** Sections of a surface at a run of stations, for skins that lie on no family of frames. */
export class Sections {
  readonly stations: readonly Station[]
  readonly shape: (at: Length) => Shape
  readonly place: (at: Length) => Pose
  readonly name: string
  readonly site: CallSite

  constructor(parts: Pick<Sections, 'stations' | 'shape' | 'place' | 'name' | 'site'>) {
    this.stations = parts.stations
    this.shape = parts.shape
    this.place = parts.place
    this.name = parts.name
    this.site = parts.site
    Object.freeze(this)
  }
}

/**
 * The surface itself as a run of sections: `sections('HF', frameStations, hullSection, plane.frame)`. The name is what
 * frame lines and findings call them by: give the code of the frames that stand there.
 */
export function sections(
  name: string,
  stations: readonly Station[],
  shape: (at: Length) => Shape,
  place: (at: Length) => Pose,
): Sections {
  return new Sections({ name, stations, shape, place, site: callSite() })
}

/** What a skin lies on: frames or ribs, or the sections of the surface. */
export type Run = Family | PieceSet | Sections

/** One section of a run, standing in the model. */
export interface RunSection {
  /** Mark of the frame: `HF-07`. */
  readonly name: string
  readonly number: number
  /** 0 at the first section, 1 at the last. */
  readonly share: number
  /** Its place along the run: the coordinate of its plane that changes most from first to last. */
  readonly at: Length
  readonly shape: Shape
  /** Counter-clockwise, in the axes of its pose, mm. */
  readonly loop: Loop
  readonly pose: Pose
}

export interface RunOfSections {
  readonly list: readonly RunSection[]
  /** The pieces it was taken from, for the figures they have read. */
  readonly pieces: readonly Piece[]
  /** Whether port has a run of its own, the mirror image of this one. */
  readonly handed: boolean
}

/** Widest mouth of a notch or slot that a skin runs over, mm, where nothing else is said. */
const NOTCH = 3

/**
 * The run's sections in order; of a mirrored family those to starboard. Slots and notches in the edge of a frame are
 * bridged, since the skin lies over them.
 *
 * @throws FindingError for fewer than two sections, and for pieces that stand nowhere
 */
export function sectionsOf(run: Run, notch = NOTCH): RunOfSections {
  if (run instanceof Sections) {
    const list = run.stations.map(({ at, number }) => {
      const [shape, pose] = [run.shape(at), run.place(at)]
      const name = `${run.name}-${String(number).padStart(2, '0')}`
      return { name, number, shape, pose, loop: outlineOf(name, shape) }
    })
    return { list: ordered(list), pieces: [], handed: false }
  }
  const pieces = piecesOf(run).filter(({ side }) => side !== 'P')
  const list = pieces.map((piece) => {
    if (!piece.pose) throw standsNowhere(piece)
    const loop = bridged(piece.outline, notch)
    return { name: piece.mark, number: piece.station, shape: Shape.of(loop), pose: piece.pose, loop }
  })
  return { list: ordered(list), pieces, handed: pieces.some(({ side }) => side === 'S') }
}

/** The middle of a section, in space. */
export function middleOf({ loop, pose }: RunSection): Vector {
  return toModel(pose, centroid([loop]))
}

/** The outer edge. @throws FindingError, naming the section, where there is not exactly one */
function outlineOf(name: string, shape: Shape): Loop {
  try {
    return shape.outline()
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    const { finding } = error
    throw new FindingError({ ...finding, mark: name, text: `section ${name}: ${finding.text}` }, { cause: error })
  }
}

/** Growing and shrinking again closes what is narrower than twice the distance, and leaves the rest as it was. */
function bridged(outline: Loop, notch: number): Loop {
  const closed = offsetRegion(offsetRegion([outline], notch / 2), -notch / 2)
  return unite([outline], closed).toSorted((a, b) => b.length - a.length)[0]!
}

type Raw = Pick<RunSection, 'name' | 'number' | 'shape' | 'pose' | 'loop'>

function ordered(list: readonly Raw[]): RunSection[] {
  if (list.length < 2) throw tooFew(list.length)
  const way = subtract(list.at(-1)!.pose.origin, list[0]!.pose.origin)
  const axis = [0, 1, 2].reduce((best, n) => (Math.abs(way[n]!) > Math.abs(way[best]!) ? n : best), 0)
  return list.map((section, i) => ({
    ...section,
    share: i / (list.length - 1),
    at: bench.mm(section.pose.origin[axis]!),
  }))
}

function standsNowhere({ mark, family, site }: Piece): FindingError {
  const where = resolveSite(site)
  return new FindingError({
    id: 'skin-topology',
    severity: 'error',
    text: `${mark} is to carry a skin but stands nowhere in the model`,
    remedy: 'place it: .place(plane.frame(x))',
    mark,
    family,
    ...(where && { site: where }),
  })
}

function tooFew(count: number): FindingError {
  return new FindingError({
    id: 'skin-topology',
    severity: 'error',
    text: `a skin over ${count} section${count === 1 ? '' : 's'}, it takes 2`,
    remedy: 'give the frames at both ends of the skin',
    found: count,
    wanted: 2,
  })
}

/** A length, or what it is where none was given, mm. */
export function mmOr(length: Length | undefined, otherwise: number): number {
  return length === undefined ? otherwise : mm(length)
}
