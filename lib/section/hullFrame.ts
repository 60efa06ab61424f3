import { type CallSite, callSite } from '../finding/site'
import { type Length, mm } from '../length/length'
import { arcAbout, fairCurve } from '../shape/curve'
import type { Loop, Point } from '../shape/point'
import { Shape } from '../shape/shape'
import { sectionError } from './fault'

/** A row of a table of offsets: height above the base line, half-breadth there, and whether the curve breaks. */
export type HalfBreadth = readonly [height: Length, halfBreadth: Length, knuckle?: 'knuckle']

export interface HullFrameOptions {
  /** `sharp` meets the centre line at the angle the spline has there; `round` runs level into it. Sharp unless said. */
  readonly bottom?: 'sharp' | 'round'
  /** The same at the top, where the last half-breadth is 0. */
  readonly top?: 'sharp' | 'round'
  /** How much the deck stands higher amidships than at the side, on a circular arc. Level unless said. */
  readonly deckCamber?: Length
}

/**
 * A whole frame from a boat builder's table of offsets: half-breadths listed from the keel up, a fair curve (natural
 * cubic spline) laid through them, broken at each knuckle or chine, and mirrored to port. x to starboard, y up from
 * the base line. A first or last half-breadth above 0 closes straight across; the deck may be cambered.
 *
 * @throws FindingError naming the row for heights that fall and half-breadths below 0, and where the curve swings
 * across the centre line
 */
export function hullFrame(rows: readonly HalfBreadth[], options: HullFrameOptions = {}): Shape {
  const made = callSite()
  const figures = rows.map(([height, breadth, knuckle]) => ({
    point: [mm(breadth), mm(height)] as Point,
    knuckle: knuckle === 'knuckle',
  }))
  const camber = options.deckCamber ? mm(options.deckCamber) : 0
  return Shape.of(hullFrameLoop(figures, { ...options, deckCamber: camber, made }))
}

export interface HullFrameFigures {
  readonly bottom?: 'sharp' | 'round'
  readonly top?: 'sharp' | 'round'
  readonly deckCamber?: number
  readonly made?: CallSite
}

/** Outline in mm, counter-clockwise from the keel up the starboard side. */
export function hullFrameLoop(
  rows: readonly { readonly point: Point; readonly knuckle: boolean }[],
  { bottom = 'sharp', top = 'sharp', deckCamber = 0, made = callSite() }: HullFrameFigures = {},
): Loop {
  checkRows(rows.map(({ point }) => point), made)
  const side = fairSide(rows, bottom === 'round', top === 'round')
  checkSide(side, made)
  const [half, height] = side.at(-1)!
  const deck = deckCamber === 0 ? [] : deckArc(half, height, deckCamber, made)
  const port = side.toReversed().map(([x, y]): Point => [-x, y])
  return [...side, ...deck, ...port.slice(half === 0 ? 1 : 0, side[0]![0] === 0 ? -1 : undefined)]
}

function fairSide(
  rows: readonly { readonly point: Point; readonly knuckle: boolean }[],
  roundBottom: boolean,
  roundTop: boolean,
): Point[] {
  const last = rows.length - 1
  const side: Point[] = [rows[0]!.point]
  let from = 0
  for (let i = 1; i <= last; i++) {
    if (!rows[i]!.knuckle && i < last) continue
    const run = rows.slice(from, i + 1).map(({ point }) => point)
    const levelStart = roundBottom && from === 0 && run[0]![0] === 0
    const levelEnd = roundTop && i === last && run.at(-1)![0] === 0
    side.push(...fairCurve(run, { ...(levelStart && { start: [1, 0] }), ...(levelEnd && { end: [-1, 0] }) }))
    from = i
  }
  return side
}

/** A circular arc over the beam: r = (b² + c²) / 2c for half-breadth b and camber c; the ends are the sheer's own. */
function deckArc(half: number, height: number, camber: number, made: CallSite): Point[] {
  if (!(camber > 0 && camber <= half)) {
    throw sectionError(
      `hull frame: a deck camber of ${camber.toFixed(3)} mm on a half-breadth of ${half.toFixed(3)} mm`,
      'give 0 up to the half-breadth',
      { found: camber, wanted: half, made },
    )
  }
  const radius = (half * half + camber * camber) / (2 * camber)
  const reach = (Math.asin(Math.min(1, half / radius)) * 180) / Math.PI
  const centre: Point = [0, height + camber - radius]
  const starboard = arcAbout([half, height], centre, reach).slice(0, -1)
  return [...starboard, [0, height + camber], ...starboard.toReversed().map(([x, y]): Point => [-x, y])]
}

function checkRows(points: readonly Point[], made: CallSite): void {
  if (points.length < 2) {
    throw sectionError(`hull frame: ${points.length} rows of offsets, it needs 2 or more`, 'list it from the keel up', {
      found: points.length,
      wanted: 2,
      made,
    })
  }
  points.forEach(([breadth, height], i) => {
    if (!(breadth >= 0)) {
      throw sectionError(
        `hull frame, row ${i + 1}: a half-breadth of ${breadth.toFixed(3)} mm, it must be 0 mm or more`,
        'measure half-breadths from the centre line outwards',
        { found: breadth, wanted: 0, made },
      )
    }
    const before = points[i - 1]
    if (!before) return
    if (height < before[1]) {
      throw sectionError(
        `hull frame, row ${i + 1}: a height of ${height.toFixed(3)} mm after ${before[1].toFixed(3)} mm`,
        'list the rows from the keel up',
        { found: height, wanted: before[1], made },
      )
    }
    if (height === before[1] && breadth === before[0]) {
      throw sectionError(`hull frame, row ${i + 1}: the same point as row ${i}`, 'leave one of them out', { made })
    }
  })
}

function checkSide(side: readonly Point[], made: CallSite): void {
  const across = side.find(([x]) => x < -1e-9)
  if (!across) return
  throw sectionError(
    `hull frame: the fair curve swings across the centre line to ${across[0].toFixed(3)} mm at a height of ` +
      `${across[1].toFixed(3)} mm`,
    "add a row near there, or break the curve with 'knuckle'",
    { found: across[0], wanted: 0, made },
  )
}
