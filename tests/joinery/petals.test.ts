import { describe, expect, test } from 'vitest'
import { ZERO } from '../../lib/length/length'
import { bench } from '../../lib/length/unit'
import { cone } from '../../lib/joinery/cone'
import { cylinder } from '../../lib/joinery/cylinder'
import { gores } from '../../lib/joinery/gores'
import { petals } from '../../lib/joinery/petals'
import { sections } from '../../lib/joinery/sections'
import { taperedTube } from '../../lib/joinery/taperedTube'
import { transition } from '../../lib/joinery/transition'
import type { Draft } from '../../lib/model/draft'
import { single } from '../../lib/model/family'
import { plane } from '../../lib/model/plane'
import { stations } from '../../lib/model/stations'
import { area, boundsOf } from '../../lib/shape/measure'
import { circle } from '../../lib/shape/primitive'
import { catalogue } from '../../lib/stock/catalogue'
import { modelOf } from '../helpers/model'

const { value: t } = catalogue.folder.thickness
const { value: k } = catalogue.folder.fold.k

const pieceFrom = (draft: () => Draft) => modelOf(() => single('RO', draft)).pieces[0]!
const gapOf = (note: string): number => Number(/stands ([\d.]+) mm off/.exec(note)![1])

/** Half a ball of the given radius, the tip forward; sections finely spaced towards the tip. */
const ball = (radius: number) => {
  const angles = Array.from({ length: 16 }, (_, i) => ((i + 1) * Math.PI) / 32)
  const places = stations.at(...angles.map((angle) => bench.mm(radius * (1 - Math.cos(angle)))))
  return sections('FR', places, (x) => circle(bench.mm(Math.sqrt(radius ** 2 - (radius - x.bench) ** 2))), plane.frame)
}

describe('petals', () => {
  const tip = [ZERO, ZERO, ZERO] as const

  test('of a cone are plane triangles: the chord of the base by the side', () => {
    const run = () =>
      sections('FR', stations.pitch(4, bench.mm(5), bench.mm(5)), (x) => circle(x.times(0.6)), plane.frame)
    const options = { stock: 'folder', from: 'bottom', to: 'top', tip, handed: true, count: 4 } as const
    const { pieces } = modelOf(() => petals('BW', run(), options))
    const chord = 2 * 12 * Math.sin(Math.PI / 8)
    const height = Math.sqrt(20 ** 2 + 12 ** 2 - (chord / 2) ** 2)
    expect(pieces.map(({ mark }) => mark)).toEqual(
      ['P', 'S'].flatMap((side) => [1, 2, 3, 4].map((n) => `BW-${side}0${n}`)),
    )
    expect(area([pieces[0]!.outline]) / ((chord * height) / 2)).toBeCloseTo(1, 1)
    expect(gapOf(pieces[0]!.notes[0]!)).toBeCloseTo(12 * (1 - Math.cos(Math.PI / 8)), 0)
  })

  // A petal of angle α is straight across between its seams: its middle lies r(1 − cos(α/2)) inside (versine; see the
  // same for chords in any table of segments).
  test('over a ball miss by the versine of half their angle', () => {
    const made = (count: number) =>
      modelOf(() => petals('BW', ball(20), { stock: 'folder', from: 'bottom', to: 'top', tip, count })).pieces
    for (const count of [3, 5, 6]) {
      const versine = 20 * (1 - Math.cos(Math.PI / count / 2))
      expect(made(count)).toHaveLength(count)
      expect(Math.abs(gapOf(made(count)[0]!.notes[0]!) - versine)).toBeLessThan(0.02)
    }
  })

  test('are as few as the gap allows', () => {
    const count = (gap: number) =>
      modelOf(() => petals('BW', ball(20), { stock: 'folder', from: 'bottom', to: 'top', tip, gap: bench.mm(gap) }))
        .pieces.length
    // From the versine: 20(1 − cos(90°/n)) ≤ gap.
    expect(count(1.6)).toBe(4)
    expect(count(0.7)).toBe(6)
  })
})

describe('gores of round ends', () => {
  // themathdoctors.org, "making a sphere from flat material": a sixth of each circle. R = 1, n = 6: .523599 at the
  // equator, .453450 at 30°, .370240 at 45°, .261799 at 60° of latitude, at the arc height R·φ.
  test('a petal of a ball in six', () => {
    const radius = 30
    const neutral = radius + (k - 1) * t
    const steps = Array.from({ length: 181 }, (_, i) => (i * Math.PI) / 360)
    const profile = steps.map((a) => [bench.mm(radius * (1 - Math.cos(a))), bench.mm(radius * Math.sin(a))] as const)
    const { outline, copies, notes } = pieceFrom(() => gores({ stock: 'folder', profile, count: 6 }))
    expect(copies).toBe(6)
    for (const [latitude, half] of [
      [0, 0.523599],
      [30, 0.45345],
      [45, 0.37024],
      [60, 0.261799],
    ] as const) {
      const height = (neutral * latitude * Math.PI) / 180
      const right = outline.filter(([x]) => x > 0)
      const nearest = right.reduce((best, point) =>
        Math.abs(point[1] - height) < Math.abs(best[1] - height) ? point : best,
      )
      expect(nearest[0] / neutral).toBeCloseTo(half, 2)
    }
    expect(notes[0]).toContain('6 petals')
  })

  test('a crown is as long as the round', () => {
    const profile = Array.from({ length: 31 }, (_, i) => {
      const a = (i * Math.PI) / 60
      return [bench.mm(10 * (1 - Math.cos(a))), bench.mm(10 * Math.sin(a))] as const
    })
    const { minX, maxX, minY } = boundsOf([
      pieceFrom(() => gores({ stock: 'folder', profile, count: 8, skirt: bench.mm(3) })).outline,
    ])
    expect(maxX - minX).toBeCloseTo(2 * Math.PI * (10 + (k - 1) * t), 1)
    expect(minY).toBeCloseTo(-3, 9)
  })
})

describe('cones, cylinders and transitions', () => {
  // ceemrr.com/Geometry2/DrawingsNets6.html: diameters 5 and 8, height 4: radii 7.12 and 11.39, sector 126.4°. Taken in
  // inches, and the card's thickness with it: measured inside at the middle of the card.
  test('a published frustum', () => {
    const shift = (k * t) / 25.4 / (4 / Math.hypot(4, 1.5))
    const diameter = (inches: number) => bench.in(inches - 2 * shift)
    const { outline } = pieceFrom(() =>
      cone({ stock: 'folder', bottom: diameter(8), top: diameter(5), height: bench.in(4), measured: 'inside' }),
    )
    const radii = outline.map(([x, y]) => Math.hypot(x, y) / 25.4)
    expect(Math.max(...radii)).toBeCloseTo(11.39, 2)
    expect(Math.min(...radii)).toBeCloseTo(7.12, 2)
  })

  // mathcentral.uregina.ca QQ.09.07 (al2): diameter 200 cut at 45° unrolls to 100 cos(x/100) with period 200π.
  test('a published cylinder cut at 45°', () => {
    const diameter = bench.mm(200 - 2 * k * t)
    const draft = () =>
      cylinder({ stock: 'folder', diameter, top: { height: bench.mm(150), tilt: 45 }, measured: 'inside' })
    const { minX, maxX, maxY } = boundsOf([pieceFrom(draft).outline])
    expect(maxX - minX).toBeCloseTo(200 * Math.PI, 6)
    expect(maxY).toBeCloseTo(250, 6)
  })

  test('a transition ends in the rectangle and in the circle', () => {
    const draft = () =>
      transition({
        stock: 'folder',
        width: bench.mm(30),
        depth: bench.mm(20),
        diameter: bench.mm(16),
        height: bench.mm(18),
      })
    const { outline } = pieceFrom(draft)
    const edges = outline.map((p, i) => {
      const q = outline[(i + 1) % outline.length]!
      return Math.hypot(q[0] - p[0], q[1] - p[1])
    })
    const long = edges.filter((length) => length > 5).toSorted((a, b) => b - a)
    const short = edges.filter((length) => length < 5)
    // Three whole sides, the fourth in two halves at the seam, and the seam twice.
    expect(long).toHaveLength(7)
    expect(short.reduce((sum, length) => sum + length, 0)).toBeCloseTo(Math.PI * (16 - 2 * (1 - k) * t), 0)
  })

  test('plies of a tapered tube are each as large as their place asks', () => {
    const { pieces } = modelOf(() =>
      single('PO', () =>
        taperedTube({ stock: 'folder', bottom: bench.mm(6), top: bench.mm(3), length: bench.mm(60), plies: 3 }),
      ),
    )
    const areas = pieces.map(({ outline }) => area([outline]))
    const slant = Math.hypot(60, 1.5)
    const out = (ply: number) => ((ply * (t + catalogue.folder.glueLine.value) + k * t) * slant) / 60
    expect(pieces.map(({ mark }) => mark)).toEqual(['PO-1', 'PO-2', 'PO-3'])
    for (const [ply, found] of areas.entries())
      expect(found / (Math.PI * (4.5 + 2 * out(ply)) * slant)).toBeCloseTo(1, 3)
  })
})
