import { FindingError, type Finding } from '../../finding/finding'
import { remembered } from '../../memo/remember'
import type { Vector } from '../../shape/pose'
import { inMm } from '../figure'
import type { Flat, FlatLine } from '../flat'
import { type BetweenOptions, type Skin, developBetween } from './between'
import { carrier, carryLine, planeLine } from './carry'
import { distancesTo } from './distance'
import { edgePlane } from './neutral'
import type { Ruling } from './unroll'

/** The outline of one frame where the skin lies on it, in space. */
export interface Section {
  /** How findings call it: the frame's mark. */
  readonly name: string
  readonly points: readonly Vector[]
  /** Points, by number, where the outline has a knuckle that runs on to the next section. */
  readonly knuckles?: readonly number[]
}

export interface SkinOptions extends Omit<BetweenOptions, 'through'> {
  /** Sections, by number, where one panel ends and the next begins; every section where not given. */
  readonly splits?: readonly number[] | 'fewest'
  /** Lines and openings in space to be carried over. */
  readonly lines?: readonly CarriedLine[]
}

export interface CarriedLine {
  readonly kind: 'datum' | 'align' | 'glue' | 'opening'
  readonly line: readonly Vector[]
  /** Direction of sight along which the line is thrown on the skin; nearest points where not given. */
  readonly sight?: Vector
}

export interface SkinPanel extends Skin {
  /** First and last section, by number. */
  readonly from: number
  readonly to: number
}

/**
 * A skin over a run of sections, in panels. Each panel is the developable surface between its first and last section;
 * sections in between are drawn on it as align lines, and how far they stand off it counts as deviation. `fewest`
 * makes each panel as long as the allowed deviation lets it be.
 *
 * @throws FindingError for sections of different topology, naming both
 */
export function developSkin(sections: readonly Section[], options: SkinOptions = {}): SkinPanel[] {
  return remembered('skin', () => JSON.stringify([sections, options]), () => develop(sections, options))
}

function develop(sections: readonly Section[], options: SkinOptions): SkinPanel[] {
  if (sections.length < 2) {
    throw new FindingError({
      id: 'skin-topology',
      severity: 'error',
      text: `a skin over ${sections.length} section${sections.length === 1 ? '' : 's'}, it takes 2`,
      remedy: 'give the frames at both ends of the skin',
      found: sections.length,
      wanted: 2,
    })
  }
  if (options.splits === 'fewest') return fewestPanels(sections, options)
  const last = sections.length - 1
  const inner = options.splits ?? sections.map((_, i) => i)
  const splits = [0, ...inner.filter((i) => i > 0 && i < last).toSorted((a, b) => a - b), last]
  return splits.slice(1).map((to, i) => panel(sections, splits[i]!, to, options))
}

function panel(sections: readonly Section[], from: number, to: number, options: SkinOptions): SkinPanel {
  const [first, last] = [sections[from]!, sections[to]!]
  const { allowed = 0.25, lines = [] } = options
  const through = knucklePairs(first, last)
  const skin = named(first, last, () => developBetween(first.points, last.points, { ...options, through }))
  const between = sections.slice(from + 1, to)
  const off = between.map((section) => Math.max(...distancesTo(skin.development, section.points)))
  const worst = off.reduce((best, value, i) => (value > (off[best] ?? 0) ? i : best), 0)
  const findings = skin.findings.map((finding) => ({
    ...finding,
    text: `${first.name} to ${last.name}: ${finding.text}`,
  }))
  if ((off[worst] ?? 0) > allowed) findings.push(standsOff(first, last, between[worst]!, off[worst]!, allowed))
  const flat = carryOver(skin, between, lines)
  return { ...skin, flat, from, to, deviation: Math.max(skin.deviation, ...off), findings }
}

/** Longest panels first: from each split as far as the deviation stays allowed, which one section always is. */
function fewestPanels(sections: readonly Section[], options: SkinOptions): SkinPanel[] {
  const { allowed = 0.25 } = options
  const panels: SkinPanel[] = []
  for (let from = 0; from < sections.length - 1;) {
    let best = panel(sections, from, from + 1, options)
    for (let to = from + 2; to < sections.length; to++) {
      const longer = panel(sections, from, to, options)
      if (longer.deviation > allowed) break
      best = longer
    }
    panels.push(best)
    from = best.to
  }
  return panels
}

function knucklePairs(first: Section, last: Section): Ruling[] {
  const [a, b] = [first.knuckles ?? [], last.knuckles ?? []]
  if (a.length === b.length) return a.map((i, n): Ruling => [i, b[n]!])
  throw new FindingError({
    id: 'skin-topology',
    severity: 'error',
    text: `${first.name} has ${a.length} knuckles, ${last.name} has ${b.length}`,
    remedy: 'give both sections the same knuckles, or end the panel where one begins',
    mark: last.name,
    found: b.length,
    wanted: a.length,
  })
}

/** Runs the work so that what goes wrong in it names the sections it was about. */
function named<T>(first: Section, last: Section, work: () => T): T {
  try {
    return work()
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    const { finding } = error
    throw new FindingError(
      { ...finding, mark: last.name, text: `${first.name} to ${last.name}: ${finding.text}` },
      { cause: error },
    )
  }
}

function carryOver(skin: Skin, between: readonly Section[], lines: readonly CarriedLine[]): Flat {
  const align = between.flatMap((section): FlatLine[] => {
    const normal = edgePlane(section.points)
    if (!normal) return []
    return [{ kind: 'align', line: planeLine(skin.development, section.points[0]!, normal), closed: false }]
  })
  const on = carrier(skin.development)
  const carried = lines.map(({ kind, line, sight }) => ({ kind, line: carryLine(on, line, sight) }))
  const openings = carried.filter(({ kind }) => kind === 'opening')
  const drawn = carried.flatMap(({ kind, line }): FlatLine[] =>
    kind === 'opening' ? [] : [{ kind, line, closed: false }],
  )
  return {
    ...skin.flat,
    openings: openings.map(({ line }) => ({ kind: 'opening', loop: clockwise(withoutRepeat(line)) })),
    lines: [...skin.flat.lines, ...align, ...drawn].filter(({ line }) => line.length > 1),
  }
}

function withoutRepeat(loop: Flat['outline']): Flat['outline'] {
  const [first, last] = [loop[0], loop.at(-1)]
  const repeats = first && last && loop.length > 1 && Math.hypot(first[0] - last[0], first[1] - last[1]) < 1e-6
  return repeats ? loop.slice(0, -1) : loop
}

function clockwise(loop: Flat['outline']): Flat['outline'] {
  const doubled = loop.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = loop[(i + 1) % loop.length]!
    return sum + x * nextY - nextX * y
  }, 0)
  return doubled > 0 ? loop.toReversed() : loop
}

function standsOff(first: Section, last: Section, middle: Section, off: number, allowed: number): Finding {
  return {
    id: 'not-developable',
    severity: 'warning',
    text:
      `${first.name} to ${last.name}: the panel stands ${inMm(off)} off ${middle.name}, ` +
      `${inMm(allowed)} is allowed`,
    remedy: `split the panel at ${middle.name}, or allow the gap`,
    mark: middle.name,
    found: off,
    wanted: allowed,
  }
}
