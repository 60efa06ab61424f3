import { ClipperOffset, EndType, JoinType, type Paths64 } from 'clipper2-ts'
import { exactly, remembered } from '../memo/remember'
import { regionFromPaths } from './boolean'
import { figure, shapeError } from './fault'
import { STEPS_PER_MM, toGrid } from './grid'
import { CHORD_TOLERANCE, type Polyline, type Region } from './point'

/** How the outline goes round a corner that it moves away from. */
export type Join = 'mitred' | 'round' | 'square'

/** How a strip ends: flush with the line's end, half its width beyond it, or round. */
export type Cap = 'flat' | 'square' | 'round'

export interface OffsetOptions {
  /** A mitre reaching farther than this many distances from its corner is cut off square. */
  readonly mitreLimit?: number
}

/** Cuts mitres below 29° of corner: a trailing edge stays sharp to about the width it is offset by, twice over. */
const MITRE_LIMIT = 4

/**
 * The region grown by a distance in mm on all sides, holes shrinking; a negative distance shrinks it. Arcs keep the
 * chord tolerance. Empty where nothing is left.
 */
export function offsetRegion(
  region: Region,
  distance: number,
  join: Join = 'mitred',
  options: OffsetOptions = {},
): Region {
  checkDistance(distance)
  if (distance === 0 || region.length === 0) return region
  const input = () => `${distance} ${join} ${options.mitreLimit} ${exactly(region)}`
  return remembered('offset', input, () => {
    const key = input()
    let found = known.get(key)
    if (!found) {
      const offsetter = offsetterFor(options)
      offsetter.addPaths(region.map(toGrid), JOINS[join], EndType.Polygon)
      found = executed(offsetter, distance)
      if (known.size >= MOST_KNOWN) known.clear()
      known.set(key, found)
    }
    return found
  })
}

/** What a model asks for once it asks for again: a section less its skin, by each family that stands on it. */
const known = new Map<string, Region>()

/** At some 20 kB each. */
const MOST_KNOWN = 500

/** The strip of a width in mm with the open line along its middle. */
export function strokeLine(
  line: Polyline,
  width: number,
  cap: Cap = 'flat',
  join: Join = 'mitred',
  options: OffsetOptions = {},
): Region {
  return stroked(line, width, CAPS[cap], join, options)
}

/** The ring of a width in mm with the closed line along its middle. */
export function strokeLoop(line: Polyline, width: number, join: Join = 'mitred', options: OffsetOptions = {}): Region {
  return stroked(line, width, EndType.Joined, join, options)
}

const JOINS: Record<Join, JoinType> = { mitred: JoinType.Miter, round: JoinType.Round, square: JoinType.Square }
const CAPS: Record<Cap, EndType> = { flat: EndType.Butt, square: EndType.Square, round: EndType.Round }

function stroked(line: Polyline, width: number, end: EndType, join: Join, options: OffsetOptions): Region {
  checkDistance(width)
  if (width <= 0 || line.length < 2) {
    throw shapeError(
      'bad-strip',
      `a strip of ${figure(width)} mm width was asked for along ${line.length} points`,
      'give it a width above 0 mm and 2 points or more',
      { found: width, wanted: 0 },
    )
  }
  const offsetter = offsetterFor(options)
  offsetter.addPaths([toGrid(line)], JOINS[join], end)
  return executed(offsetter, width / 2)
}

function offsetterFor({ mitreLimit = MITRE_LIMIT }: OffsetOptions): ClipperOffset {
  return new ClipperOffset(mitreLimit, CHORD_TOLERANCE * STEPS_PER_MM)
}

function executed(offsetter: ClipperOffset, distance: number): Region {
  const solution: Paths64 = []
  offsetter.execute(distance * STEPS_PER_MM, solution)
  return regionFromPaths(solution)
}

function checkDistance(distance: number): void {
  if (Number.isFinite(distance)) return
  throw shapeError('bad-offset', `an offset of ${distance} mm was asked for`, 'give a finite number of millimetres')
}
