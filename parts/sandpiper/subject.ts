import { type Length, between, dimensions, drawing, full, guess, handbook, ownMeasurement, photograph, table } from 'cardwright'

/**
 * The Sandpiper: an invented twin-engined flying boat ferry of twenty seats, all of wood and fabric. Every dimension
 * and every source is made up. Aft is counted from the bow, up from the keel at the step.
 */
const linesPlan = drawing('lines plan of the yard, with its table of offsets', { within: full.mm(5) })
const wingPlan = drawing('wing, sheet 4', { within: full.mm(4) })
const register = handbook('register of harbour aircraft, second year', { within: full.mm(8) })
const slipway = photograph('on the slipway, from abeam, scaled by the hull', { within: full.mm(8) })
const floatFound = ownMeasurement('tip float in the boathouse', { within: full.mm(2) })

export const survey = dimensions(
  {
    span: { value: full.m(24.4), source: register },
    semiSpan: { from: ({ span }) => span.times(0.5) },
    hullLength: { value: full.m(17.2), source: linesPlan, note: 'stem to sternpost' },
    rootChord: { value: full.m(3.4), source: wingPlan, note: 'at the centre line' },
    tipChord: { value: full.m(1.7), source: wingPlan, note: 'where the edges produced meet the tip' },
    quarterChordAt: { value: full.m(6.4), source: wingPlan, note: 'aft of the bow' },
    wingHeight: { value: full.m(3.05), source: slipway },
    floorHeight: { value: full.m(0.72), within: full.mm(40), source: guess('headroom of 1.9 m under the deck') },
    floatAt: { value: full.m(5.2), source: slipway, note: 'bow of the float, aft of the bow' },
    floatOutboard: { value: full.m(9.2), source: wingPlan },
    floatLength: { value: full.m(2.8), source: floatFound },
    floatHeight: { value: full.m(0.55), source: floatFound },
    floatBottom: { value: full.m(0.75), source: slipway },
  },
  {
    tables: {
      keel: {
        source: linesPlan,
        note: 'above the base line',
        rows: [
          [full.m(0), full.m(1.15)],
          [full.m(1.2), full.m(0.42)],
          [full.m(3.2), full.m(0.1)],
          [full.m(6), full.m(0)],
          [full.m(8.6), full.m(0)],
          [full.m(11.4), full.m(0.42)],
          [full.m(14.2), full.m(0.98)],
          [full.m(17.2), full.m(1.6)],
        ],
      },
      chineBreadth: {
        source: linesPlan,
        note: 'half-breadths',
        rows: [
          [full.m(0), full.m(0.1)],
          [full.m(1.2), full.m(0.66)],
          [full.m(3.2), full.m(1.05)],
          [full.m(6), full.m(1.2)],
          [full.m(8.6), full.m(1.2)],
          [full.m(11.4), full.m(0.98)],
          [full.m(14.2), full.m(0.6)],
          [full.m(17.2), full.m(0.16)],
        ],
      },
      chineHeight: {
        source: linesPlan,
        note: 'above the base line',
        rows: [
          [full.m(0), full.m(1.3)],
          [full.m(1.2), full.m(0.86)],
          [full.m(3.2), full.m(0.58)],
          [full.m(6), full.m(0.46)],
          [full.m(8.6), full.m(0.46)],
          [full.m(11.4), full.m(0.8)],
          [full.m(14.2), full.m(1.22)],
          [full.m(17.2), full.m(1.7)],
        ],
      },
      sideBreadth: {
        source: linesPlan,
        note: 'half-breadths where the side meets the deck',
        rows: [
          [full.m(0), full.m(0.16)],
          [full.m(1.2), full.m(0.78)],
          [full.m(3.2), full.m(1.14)],
          [full.m(6), full.m(1.28)],
          [full.m(8.6), full.m(1.28)],
          [full.m(11.4), full.m(1.06)],
          [full.m(14.2), full.m(0.66)],
          [full.m(17.2), full.m(0.2)],
        ],
      },
      deck: {
        source: linesPlan,
        note: 'above the base line, at the centre',
        rows: [
          [full.m(0), full.m(1.62)],
          [full.m(1.2), full.m(2.14)],
          [full.m(3.2), full.m(2.72)],
          [full.m(6), full.m(2.9)],
          [full.m(8.6), full.m(2.9)],
          [full.m(11.4), full.m(2.78)],
          [full.m(14.2), full.m(2.52)],
          [full.m(17.2), full.m(2.2)],
        ],
      },
      floatBreadth: {
        source: floatFound,
        note: 'half-breadths of the tip float at the chine',
        rows: [
          [full.m(0), full.m(0.06)],
          [full.m(0.7), full.m(0.26)],
          [full.m(1.5), full.m(0.31)],
          [full.m(2.8), full.m(0.1)],
        ],
      },
      floatKeel: {
        source: floatFound,
        note: 'above its lowest point',
        rows: [
          [full.m(0), full.m(0.34)],
          [full.m(0.7), full.m(0.06)],
          [full.m(1.5), full.m(0)],
          [full.m(2.8), full.m(0.3)],
        ],
      },
    },
    rules: {
      'the floats stand inside the tips': ({ floatOutboard, semiSpan }) => [floatOutboard, '<=', semiSpan],
      'the chord halves from root to tip': ({ rootChord, tipChord }) => [tipChord.times(2), '=', rootChord],
    },
  },
)

export const { semiSpan, hullLength, floorHeight } = survey

/** The hull's lines, read off at eight stations. */
export const lines = {
  keel: table(survey.keel),
  chineBreadth: table(survey.chineBreadth),
  chineHeight: table(survey.chineHeight),
  sideBreadth: table(survey.sideBreadth),
  deck: table(survey.deck),
}

/** The wing: straight taper about the quarter-chord line, slight dihedral, shoulder mounted above the cabin. */
export const wing = {
  rootChord: survey.rootChord,
  tipChord: survey.tipChord,
  quarterChordAt: survey.quarterChordAt,
  height: survey.wingHeight,
  dihedral: 2,
  frontSpar: 0.25,
  rearSpar: 0.65,
}

export const chordAt = (y: Length): Length => between(wing.rootChord, wing.tipChord, y.over(semiSpan))

/** Leading edge, aft of the bow. */
export const leadingEdgeAt = (y: Length): Length => wing.quarterChordAt.minus(chordAt(y).times(wing.frontSpar))

export const wingHeightAt = (y: Length): Length =>
  wing.height.plus(y.times(Math.tan((wing.dihedral * Math.PI) / 180)))
