import {
  type RunSection,
  ZERO,
  assembly,
  bench,
  circle,
  clearance,
  full,
  glued,
  mirrored,
  petals,
  plane,
  plank,
  sections,
  skin,
  stations,
} from 'cardwright'
import { airscrews } from './engines'
import { bottom as floatBottom, floatAt, floatSection, outboard } from './floats'
import { hullSection } from './hull'
import { chordAt, lines, wing } from './subject'
import { tailWheel, trolleyLegs, trolleyWheels } from './trolley'
import { wingRibs } from './wing'

const hullRun = stations.even(26, full.m(0.6), full.m(16.6))
const hull = (from: number, to: number) =>
  sections('HF', hullRun.slice(from - 1, to), hullSection, (x) => plane.frame(x))

const keel = ({ at }: RunSection) => [ZERO, lines.keel(at)] as const
const chine = ({ at }: RunSection) => [lines.chineBreadth(at), lines.chineHeight(at)] as const

/** Ten round windows a side, each in the middle of a bay, seen from well outside. */
const windows = () =>
  Array.from({ length: 10 }, (_, i) => ({
    shape: circle(full.m(0.19)).moved(full.m(5.4 + 0.64 * i), full.m(1.72)),
    place: plane.spanwise(full.m(3)),
  }))

/** The edge of the bottom paint. */
const waterline = () => plane.level(full.m(1))

/** Bottom planks run fore and aft between keel and chine; sides and deck go from frame to frame. */
const hullSkins = () => {
  const common = { stock: 'folder', face: 'outside', handed: true } as const
  const bottom = plank('HB', hull(2, 26), { ...common, from: keel, to: chine, note: 'Bevel the edge at the keel.' })
  const sides = skin('HS', hull(2, 19), { ...common, from: chine, to: 'top', openings: windows(), datums: [waterline()] })
  const tail = skin('HT', hull(19, 26), { ...common, from: chine, to: 'top', facets: 10 })
  glued(sides, bottom)
  glued(tail, bottom)
  glued(tail, sides)
  clearance('airscrew to hull', airscrews, [sides, tail], { least: full.m(0.3) })
  // The trolley is taken away once the boat is afloat: its legs stand off the sides, its tail wheel is on a wire below the keel.
  clearance('trolley legs to hull', trolleyLegs, sides, { least: bench.mm(0.3), most: bench.mm(0.8) })
  clearance('tail wheel to hull', tailWheel, bottom, { least: bench.mm(1), most: bench.mm(5) })
  clearance('trolley wheels to hull', trolleyWheels, [bottom, sides], { least: bench.mm(1) })
  return { bottom, sides, tail }
}

/** Before the second frame the bow closes to a stem: petals above the chine, planks below it. */
const bow = ({ bottom, sides }: Pick<ReturnType<typeof hullSkins>, 'bottom' | 'sides'>) => {
  const run = sections('HF', stations.at(...[0.2, 0.4, 0.6, 0.9, 1.24].map(full.m)), hullSection, (x) => plane.frame(x))
  const common = { stock: 'folder', face: 'outside', handed: true, tip: [full.m(0), ZERO, full.m(1.36)] } as const
  const low = petals('BK', run, { ...common, from: keel, to: chine })
  const high = petals('BW', run, { ...common, from: chine, to: 'top', gap: bench.mm(0.5) })
  glued(low, bottom)
  glued(high, sides)
  glued(low, high)
  return assembly('bow', low, high)
}

/** Above and below, the wing is skinned from the spar aft; round the nose, too tight to curl, it is scored. */
const wingSkins = () => {
  const atSpar = ({ at }: RunSection) => chordAt(at).times(wing.frontSpar)
  const above = (rib: RunSection) => [atSpar(rib), rib.shape.spanAt(atSpar(rib)).to] as const
  const below = (rib: RunSection) => [atSpar(rib), rib.shape.spanAt(atSpar(rib)).from] as const
  const ribs = mirrored(wingRibs)
  const nose = skin('WN', ribs, { stock: 'folder', from: above, to: below, facets: 5 })
  const upper = skin('WU', ribs, { stock: 'folder', from: 'right', to: above })
  const lower = skin('WL', ribs, { stock: 'folder', from: below, to: 'right' })
  glued(upper, nose)
  glued(lower, nose)
  glued(upper, lower)
  return assembly('wing skins', nose, upper, lower)
}

/** The wing-tip floats: bows in petals from the first frame forward. */
const floatBows = () => {
  const place = (x: typeof floatAt) => plane.frame(floatAt.plus(x), { y: outboard, z: floatBottom })
  const run = sections('OF', stations.at(...[0.12, 0.2, 0.3].map(full.m)), floatSection, place)
  const tip = [floatAt, outboard, floatBottom.plus(full.m(0.45))] as const
  return petals('OB', run, {
    stock: 'folder',
    face: 'outside',
    handed: true,
    from: 'bottom',
    to: 'top',
    tip,
    gap: bench.mm(0.4),
  })
}

export const skinAssembly = () => {
  const { bottom, sides, tail } = hullSkins()
  return assembly('skins', assembly('hull skins', bottom, sides, tail), bow({ bottom, sides }), wingSkins(), floatBows())
}
