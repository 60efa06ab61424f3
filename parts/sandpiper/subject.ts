import { type Length, between, full, table } from 'cardwright'

/**
 * The Sandpiper: an invented twin-engined flying boat ferry of twenty seats, all of wood and fabric. Every dimension
 * is made up. Aft is counted from the bow, up from the keel at the step.
 */
export const span = full.m(24.4)
export const semiSpan = span.times(0.5)
export const hullLength = full.m(17.2)

/** The hull's lines, read off at eight stations. */
export const lines = {
  keel: table([
    [full.m(0), full.m(1.15)],
    [full.m(1.2), full.m(0.42)],
    [full.m(3.2), full.m(0.1)],
    [full.m(6), full.m(0)],
    [full.m(8.6), full.m(0)],
    [full.m(11.4), full.m(0.42)],
    [full.m(14.2), full.m(0.98)],
    [full.m(17.2), full.m(1.6)],
  ]),
  chineBreadth: table([
    [full.m(0), full.m(0.1)],
    [full.m(1.2), full.m(0.66)],
    [full.m(3.2), full.m(1.05)],
    [full.m(6), full.m(1.2)],
    [full.m(8.6), full.m(1.2)],
    [full.m(11.4), full.m(0.98)],
    [full.m(14.2), full.m(0.6)],
    [full.m(17.2), full.m(0.16)],
  ]),
  chineHeight: table([
    [full.m(0), full.m(1.3)],
    [full.m(1.2), full.m(0.86)],
    [full.m(3.2), full.m(0.58)],
    [full.m(6), full.m(0.46)],
    [full.m(8.6), full.m(0.46)],
    [full.m(11.4), full.m(0.8)],
    [full.m(14.2), full.m(1.22)],
    [full.m(17.2), full.m(1.7)],
  ]),
  sideBreadth: table([
    [full.m(0), full.m(0.16)],
    [full.m(1.2), full.m(0.78)],
    [full.m(3.2), full.m(1.14)],
    [full.m(6), full.m(1.28)],
    [full.m(8.6), full.m(1.28)],
    [full.m(11.4), full.m(1.06)],
    [full.m(14.2), full.m(0.66)],
    [full.m(17.2), full.m(0.2)],
  ]),
  deck: table([
    [full.m(0), full.m(1.62)],
    [full.m(1.2), full.m(2.14)],
    [full.m(3.2), full.m(2.72)],
    [full.m(6), full.m(2.9)],
    [full.m(8.6), full.m(2.9)],
    [full.m(11.4), full.m(2.78)],
    [full.m(14.2), full.m(2.52)],
    [full.m(17.2), full.m(2.2)],
  ]),
}

/** Cabin floor above the keel line. */
export const floorHeight = full.m(0.72)

/** The wing: straight taper about the quarter-chord line, slight dihedral, shoulder mounted above the cabin. */
export const wing = {
  rootChord: full.m(3.4),
  tipChord: full.m(1.7),
  quarterChordAt: full.m(6.4),
  height: full.m(3.05),
  dihedral: 2,
  frontSpar: 0.25,
  rearSpar: 0.65,
}

export const chordAt = (y: Length): Length => between(wing.rootChord, wing.tipChord, y.over(semiSpan))

/** Leading edge, aft of the bow. */
export const leadingEdgeAt = (y: Length): Length => wing.quarterChordAt.minus(chordAt(y).times(wing.frontSpar))

export const wingHeightAt = (y: Length): Length =>
  wing.height.plus(y.times(Math.tan((wing.dihedral * Math.PI) / 180)))
