import type { Length } from '../length/length'
import type { Shape } from '../shape/shape'
import { type Aerofoil, aerofoil } from './aerofoil'
import { type Camber, STRAIGHT, fiveDigitCamber, fourDigitCamber, reflexCamber } from './camber'
import { sectionError } from './fault'
import type { Curve } from './refine'

export interface NacaOptions {
  /**
   * `open` as published: the edge is 2.1 % of the greatest thickness thick, 0.25 % of the chord for a 12 % section.
   * `closed` runs out to a sharp edge. Open unless said.
   */
  readonly trailingEdge?: 'open' | 'closed'
}

/**
 * A NACA section by its designation, four digits or five, leading edge at the origin and chord along x:
 * `naca('2412', full.m(1.6))`.
 *
 * @throws FindingError for a designation that there is not, and a chord that is not above 0
 */
export function naca(designation: string, chord: Length, options: NacaOptions = {}): Shape {
  return aerofoil(nacaSection(designation, options), chord)
}

/**
 * A NACA section of unit chord, to blend or to ask for its surfaces.
 *
 * The thickness is laid off at right angles to the mean line: xU = x − y·sin θ, yU = yc + y·cos θ, and the lower
 * surface the other way. NACA Reports 460 and 537; NASA TM 4741 (1996).
 */
export function nacaSection(designation: string, { trailingEdge = 'open' }: NacaOptions = {}): Aerofoil {
  if (trailingEdge !== 'open' && trailingEdge !== 'closed') {
    throw sectionError(`naca: the trailing edge is "${String(trailingEdge)}"`, "write 'open' or 'closed'")
  }
  const key = `${trailingEdge} ${designation}`
  let section = sections.get(key)
  if (!section) sections.set(key, (section = newSection(designation, trailingEdge === 'closed' ? CLOSED : OPEN)))
  return section
}

/** One object a designation, so that what is worked out of a section is worked out once. */
const sections = new Map<string, Aerofoil>()

function newSection(designation: string, last: number): Aerofoil {
  const { digits, camber, thickness } = readDesignation(designation)
  return Object.freeze({
    name: `NACA ${digits}`,
    upper: surface(camber, thickness, last, 1),
    lower: surface(camber, thickness, last, -1),
  })
}

/** Last coefficient of the thickness: as published, and as makes the sum of all five nought at the trailing edge. */
const OPEN = -0.1015
const CLOSED = -0.1036

/** u = 0 … 1 is half a turn of cosine spacing: x = (1 − cos πu)/2 = sin²(πu/2), so that √x needs no root. */
function surface({ height, slope }: Camber, thickness: number, last: number, side: 1 | -1): Curve {
  const scale = 5 * thickness * side
  return (u) => {
    const root = Math.sin((u * Math.PI) / 2)
    const x = root * root
    const half = scale * (0.2969 * root + x * (-0.126 + x * (-0.3516 + x * (0.2843 + x * last))))
    const rise = slope(x)
    const cos = 1 / Math.sqrt(1 + rise * rise)
    return [x - half * rise * cos, height(x) + half * cos]
  }
}

function readDesignation(designation: string): { digits: string; camber: Camber; thickness: number } {
  const digits = /^(?:NACA[\s-]*)?(\d{4,5})$/i.exec(String(designation).trim())?.[1]
  if (digits === undefined) {
    throw sectionError(
      `naca: "${String(designation)}" is not the designation of a section`,
      "write four digits such as '2412', or five such as '23012'",
    )
  }
  const thickness = Number(digits.slice(-2)) / 100
  if (thickness === 0) {
    throw sectionError(
      `naca: "${digits}" has a thickness of 0 % of the chord`,
      'its last two digits give the thickness',
    )
  }
  return { digits, thickness, camber: digits.length === 4 ? readFour(digits) : readFive(digits) }
}

function readFour(digits: string): Camber {
  const [height, at] = [Number(digits[0]), Number(digits[1])]
  if (height === 0) return STRAIGHT
  if (at === 0) {
    throw sectionError(
      `naca: "${digits}" has its camber of ${height} % at 0 % of the chord`,
      'its second digit gives the place of most camber in tenths, 1 to 9',
    )
  }
  return fourDigitCamber(height / 100, at / 10)
}

/** First digit: two thirds of the design lift coefficient in tenths; third: 0 plain, 1 with reflex. */
function readFive(digits: string): Camber {
  const lift = (Number(digits[0]) * 0.3) / 2
  const line = digits.slice(0, 3)
  const meanLine = digits[2] === '0' ? fiveDigitCamber : digits[2] === '1' ? reflexCamber : undefined
  const camber = meanLine?.(digits[1]!, lift)
  if (!camber || lift === 0) {
    throw sectionError(
      `naca: "${digits}" is on the mean line ${line}, which is not tabled`,
      'tabled are 210, 220, 230, 240 and 250, with reflex 221, 231, 241 and 251, and multiples of their first digit',
    )
  }
  return camber
}
