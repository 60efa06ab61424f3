import { FindingError } from '../finding/finding'
import type { Point } from '../shape/point'
import { inMm } from './figure'
import { type Flat, type FlatLine, plainFlat } from './flat'
import { degrees, radians } from './space'
import { type Spiral, spiralAngle } from './spiral'

/**
 * Something round wound from strip: a tyre, a roller, a tube, a bush. The strip runs along x from its inner end, the
 * axis of the roll along y; its grain runs along the axis, the way card curls most easily.
 */
export interface Winding {
  /** Diameter the strip is wound on: a core, a mandrel, or the bore of a bush. */
  readonly core: number
  readonly outside: number
  /** Length of the roll along its axis. */
  readonly width: number
  /** Thickness of one turn, glue line included. */
  readonly pitch: number
  /** Longest strip the sheet allows. */
  readonly longest: number
}

export interface Wound {
  /** From the core outwards. */
  readonly strips: readonly WoundStrip[]
  readonly length: number
  readonly turns: number
}

export interface WoundStrip {
  readonly flat: Flat
  readonly length: number
  /** Where round the roll the strip begins, degrees from the inner end. No two joints lie over each other. */
  readonly startsAt: number
}

/**
 * A solid winding. The strip's edge fills the ring between core and outside, so L = π(D² − d²)/(4t) in
 * N = (D − d)/2t turns; the exact spiral differs by less than t. Where one sheet is too short the strip is made of
 * several, butted, each joint turned by the golden angle from the one before so that their small steps spread evenly.
 *
 * @throws FindingError where nothing is left between core and outside
 */
export function windStrip(spec: Winding): Wound {
  const { core, outside, pitch, width, longest } = spec
  checkWinding(spec)
  const length = windingLength(core, outside, pitch)
  const spiral: Spiral = { a: core / 2, b: pitch / (2 * Math.PI) }
  const cuts = stagger(length, longest, spiral)
  const halfWidth = (): number => width / 2
  const strips = cuts.slice(1).map((end, i) => stripBetween(cuts[i]!, end, halfWidth, spiral))
  return { strips, length, turns: (outside - core) / (2 * pitch) }
}

/** Length of strip that fills a ring: its area over the thickness of one turn. */
export function windingLength(core: number, outside: number, pitch: number): number {
  return (Math.PI * (outside * outside - core * core)) / (4 * pitch)
}

/** How far from the axis a wound strip lies so far along it from where its inner side is `inside` mm away. */
export function woundRadius(inside: number, pitch: number, along: number): number {
  return Math.sqrt(inside ** 2 + (pitch * along) / Math.PI)
}

export interface Tube {
  readonly bore: number
  readonly length: number
  readonly turns: number
  readonly pitch: number
  readonly longest: number
}

/** A tube of so many turns round a mandrel; for one turn that is the butted ring π(bore + t). */
export function tube({ bore, length, turns, pitch, longest }: Tube): Wound {
  return windStrip({ core: bore, outside: bore + 2 * turns * pitch, width: length, pitch, longest })
}

export interface CrownedTyre extends Winding {
  /** Diameter up to which the tyre has its full width. */
  readonly shoulder: number
  /** Width of the tread at the outside diameter. */
  readonly tread: number
  /** Bands the crown is wound in. */
  readonly bands: number
}

/**
 * A tyre with a crowned tread: full width up to the shoulder, then bands of falling width whose edges follow a quarter
 * ellipse from the shoulder to the tread. Each band's edge falls along its own length, since every turn of it lies
 * further out: w(r) = tread + (width − tread)·√(1 − ((r − r_s)/(R − r_s))²).
 */
export function crownedTyre(spec: CrownedTyre): Wound {
  const { core, outside, width, pitch, shoulder, tread, bands } = spec
  checkWinding(spec)
  if (!(shoulder >= core && shoulder < outside && tread > 0 && tread <= width && bands >= 1)) {
    throw new FindingError({
      id: 'tyre-crown',
      severity: 'error',
      text:
        `a crown from ${inMm(shoulder)} across, ${inMm(width)} wide, to ${inMm(outside)}, ` +
        `${inMm(tread)} wide, on a core of ${inMm(core)}`,
      remedy: 'put the shoulder between core and outside and make the tread no wider than the tyre, in 1 band or more',
      found: shoulder,
      wanted: outside,
    })
  }
  const body = shoulder > core ? windStrip({ ...spec, outside: shoulder }) : undefined
  const strips = [...(body?.strips ?? [])]
  const spiral: Spiral = { a: core / 2, b: pitch / (2 * Math.PI) }
  const halfWidth = (s: number): number => {
    const r = Math.sqrt((core / 2) ** 2 + (pitch * s) / Math.PI)
    const up = Math.min(1, Math.max(0, (2 * r - shoulder) / (outside - shoulder)))
    return (tread + (width - tread) * Math.sqrt(1 - up * up)) / 2
  }
  for (let band = 0; band < bands; band++) {
    const from = shoulder + ((outside - shoulder) * band) / bands
    const to = shoulder + ((outside - shoulder) * (band + 1)) / bands
    const start = windingLength(core, from, pitch)
    const end = windingLength(core, to, pitch)
    const parts = Math.ceil((end - start) / spec.longest - 1e-9)
    for (let part = 0; part < parts; part++) {
      const share = (k: number): number => start + ((end - start) * k) / parts
      strips.push(stripBetween(share(part), share(part + 1), halfWidth, spiral))
    }
  }
  return { strips, length: windingLength(core, outside, pitch), turns: (outside - core) / (2 * pitch) }
}

const GOLDEN_ANGLE = 180 * (3 - Math.sqrt(5))

/** Steps in which a curved edge of a strip is drawn. */
const EDGE_STEPS = 24

/** Places along the winding where strips begin and end, each joint near an equal share and at its own angle. */
function stagger(length: number, longest: number, spiral: Spiral): number[] {
  for (let count = Math.ceil(length / longest - 1e-9); ; count++) {
    const cuts = [0]
    for (let joint = 1; joint < count; joint++) cuts.push(nearAngle((length * joint) / count, joint, spiral))
    cuts.push(length)
    const steps = cuts.slice(1).map((cut, i) => cut - cuts[i]!)
    if (steps.every((step) => step > 0 && step <= longest + 1e-9)) return cuts
    // A sheet shorter than a few turns cannot be staggered: equal strips, as few as will do.
    if (count > Math.ceil(length / longest) + 2) return equalCuts(length, Math.ceil(length / longest - 1e-9))
  }
}

/** The place nearest to a length where the winding stands at this joint's own angle. */
function nearAngle(wanted: number, joint: number, spiral: Spiral): number {
  const target = radians(joint * GOLDEN_ANGLE)
  const turn = 2 * Math.PI
  const angle = spiralAngle(spiral, wanted)
  const near = target + Math.round((angle - target) / turn) * turn
  const r = (theta: number): number => spiral.a + spiral.b * theta
  // The area formula's length, so that the strips add up to it exactly.
  return (r(near) ** 2 - spiral.a ** 2) / (2 * spiral.b)
}

function equalCuts(length: number, count: number): number[] {
  return Array.from({ length: count + 1 }, (_, i) => (length * i) / count)
}

function stripBetween(start: number, end: number, halfWidth: (s: number) => number, spiral: Spiral): WoundStrip {
  const length = end - start
  const straight = halfWidth(start) === halfWidth(end)
  const steps = straight ? 1 : EDGE_STEPS
  const lower: Point[] = []
  const upper: Point[] = []
  for (let i = 0; i <= steps; i++) {
    const x = (length * i) / steps
    const y = halfWidth(start + x)
    lower.push([x, -y])
    upper.push([x, y])
  }
  const startsAt = degrees(spiralAngle(spiral, start)) % 360
  const flat = plainFlat([...lower, ...upper.toReversed()], {
    lines: [windingArrow(length, halfWidth(start))],
    grain: 90,
  })
  return { flat, length, startsAt }
}

/** An arrow along the strip, from the end that goes on first; the printed side comes outside. */
function windingArrow(length: number, half: number): FlatLine {
  const tip = Math.min(length * 0.6, 12)
  const barb = Math.min(half * 0.4, tip * 0.3)
  const line: Point[] = [
    [tip * 0.2, 0],
    [tip, 0],
    [tip - barb, barb],
    [tip, 0],
    [tip - barb, -barb],
  ]
  return { kind: 'datum', line, closed: false }
}

function checkWinding({ core, outside, pitch, longest, width }: Winding): void {
  if (outside > core && core > 0 && pitch > 0 && longest > 0 && width > 0) return
  const wrong =
    outside <= core && core > 0
      ? `a winding on a core of ${inMm(core)} is to be ${inMm(outside)} across: nothing is left to wind`
      : `a winding on a core of ${inMm(core)}, ${inMm(outside)} across and ${inMm(width)} wide, in card of ${inMm(pitch)} ` +
        `from strips of ${inMm(longest)}: all must be above 0 mm`
  throw new FindingError({
    id: 'winding',
    severity: 'error',
    text: wrong,
    remedy: 'give a core above 0 and an outside diameter above the core, in card and strips above 0',
    found: outside,
    wanted: core,
  })
}
