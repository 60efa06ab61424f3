import { type Finding, compareText } from '../finding/finding'
import { inMm } from '../craft/figure'
import { norm } from '../craft/space'
import type { Model } from '../model/model'
import type { Vector } from '../shape/pose'
import { type Between, cellsApart } from './cellsApart'
import type { Clash } from './clash'
import { apart } from './contact'
import { convexWay } from './convex'
import { flatPlace } from './flatPlace'
import { boxesApart } from './nearPairs'
import { emptyCell, take } from './shavedCell'
import type { Bounds3 } from './solid'
import { REACH, type Scene, type Standing, about, handless, nameOf, once } from './scene'

/**
 * Pieces that touch nothing, one note a family, and groups of pieces that touch one another alone: all but the largest are
 * adrift. What a clearance keeps within a distance, as an axle in its hub, counts as held.
 */
export function looseFindings({ relations }: Pick<Model, 'relations'>, scene: Scene, clashes: readonly Clash[]): Finding[] {
  const { standing, pairs, held } = scene
  if (standing.length < 2) return []
  for (const { a, b } of clashes) held.join(a, b)
  for (const [a, b] of pairs) {
    if (!held.together(a, b) && apart(a, b, scene, REACH, REACH * (1 - 1e-9)) < REACH) held.join(a, b)
  }
  holdWithin(relations, scene)
  const groups = held.of(standing)
  const main = groups.reduce((largest, group) => (group.length > largest.length ? group : largest))
  const islands = groups.filter((group) => group.length > 1 && group !== main)
  return [...alone(groups.flatMap((group) => (group.length > 1 ? [] : group))), ...once(islands.flatMap((island) => adrift(island, scene) ?? []))]
}

function holdWithin(relations: Model['relations'], scene: Scene): void {
  const { byMark, held } = scene
  for (const relation of relations) {
    if (relation.kind !== 'clearance' || relation.most === undefined) continue
    const beyond = relation.most * (1 + 1e-9)
    const theirs = relation.b.flatMap((mark) => byMark.get(mark) ?? [])
    for (const a of relation.a.flatMap((mark) => byMark.get(mark) ?? [])) {
      for (const b of theirs) if (!held.together(a, b) && apart(a, b, scene, beyond, relation.most) < beyond) held.join(a, b)
    }
  }
}

function alone(pieces: readonly Standing[]): Finding[] {
  const families = new Map<string, Standing[]>()
  for (const one of pieces) families.set(one.piece.family, [...(families.get(one.piece.family) ?? []), one])
  return [...families.keys()].toSorted(compareText).map((family) => {
    const [first, ...rest] = families.get(family)!
    const more = rest.length > 0 ? ` and ${rest.length} more of its family touch` : ' touches'
    return {
      id: 'loose',
      severity: 'note' as const,
      text: `${first!.mark}${more} nothing: ${rest.length + 1} pieces are ${inMm(REACH)} or more from any other`,
      remedy: 'move them to what holds them',
      ...about(first!),
      found: rest.length + 1,
      wanted: 0,
    }
  })
}

/** Names of a group that are told; of more the first few. */
const TOLD = 4

type Found = Finding & { readonly key: string; readonly port: boolean }

function adrift(island: readonly Standing[], scene: Scene): Found | undefined {
  const near = nearestOutside(island, scene)
  if (!near) return undefined
  const { a, b, from, way } = near
  const names = island.map(nameOf).toSorted(compareText)
  const told = names.length > TOLD ? `${names.slice(0, TOLD - 1).join(', ')} and ${names.length - TOLD + 1} more` : namesOf(names)
  const onFlat = flatPlace(a, from)
  const place = from.map((value) => value.toFixed(1)).join(', ')
  return {
    id: 'adrift',
    severity: 'note',
    text:
      `${told} touch only one another: nearest to them is ${nameOf(b)}, ${inMm(norm(way))} from ${nameOf(a)} ` +
      `at (${place}) in the model, ${wayText(way)}; less than ${inMm(REACH)} is touching`,
    remedy: 'move them to what holds them, add the piece that does, or say with clearance, least and most, what they move in',
    ...about(a),
    ...(onFlat && { at: onFlat }),
    inModel: from,
    found: norm(way),
    wanted: REACH,
    key: `${island.map((one) => `${handless(one.piece)}#${one.copy}`).join(' ')}`,
    port: a.piece.side === 'P',
  }
}

/** Of a group the piece that stands nearest to any other, that one, and the way there; undefined where none can be measured. */
function nearestOutside(island: readonly Standing[], scene: Scene): { a: Standing; b: Standing; from: Vector; way: Vector } | undefined {
  const inside = new Set(island)
  const box = boundsOf(island)
  const others = scene.standing.filter((one) => !inside.has(one)).map((one) => ({ one, off: boxesApart(box, one.bounds) }))
  let best = Infinity
  let nearest: ({ a: Standing; b: Standing } & Between) | undefined
  for (const { one: b, off } of others.toSorted((p, q) => p.off - q.off)) {
    if (off >= best) break
    for (const a of island) {
      const [p, q] = [scene.tree(a), scene.tree(b)]
      if (!p || !q || boxesApart(a.bounds, b.bounds) >= best - SAME) continue
      const between = { one: 0, other: 0 }
      const gap = cellsApart({ tree: p, share: 1 }, { tree: q, share: 1 }, best - SAME, 0, between)
      if (gap >= best - SAME) continue
      best = gap
      nearest = { a, b, ...between }
    }
  }
  if (!nearest) return undefined
  const { a, b } = nearest
  const [cell, other] = [emptyCell(), emptyCell()]
  take({ tree: scene.tree(a)!, share: 1 }, nearest.one, cell)
  take({ tree: scene.tree(b)!, share: 1 }, nearest.other, other)
  return { a, b, ...convexWay(cell, other) }
}

/** Of pairs that are as near but for less than this the first one counts, mm. */
const SAME = 1e-6

function boundsOf(group: readonly Standing[]): Bounds3 {
  const [first, ...rest] = group
  return rest.reduce(
    (box, { bounds }) => ({ min: pickEach(Math.min, box.min, bounds.min), max: pickEach(Math.max, box.max, bounds.max) }),
    first!.bounds,
  )
}

function pickEach(pick: (a: number, b: number) => number, a: Vector, b: Vector): Vector {
  return [pick(a[0], b[0]), pick(a[1], b[1]), pick(a[2], b[2])]
}

const WAYS = [['aft', 'forward'], ['to starboard', 'to port'], ['up', 'down']] as const

/** A way in the model's axes, as far as it shows at 0.01 mm. */
function wayText(way: Vector): string {
  return namesOf(WAYS.flatMap((names, k) => (Math.abs(way[k]!) < 0.005 ? [] : `${inMm(Math.abs(way[k]!))} ${names[way[k]! > 0 ? 0 : 1]}`)))
}

function namesOf(names: readonly string[]): string {
  return names.length > 1 ? `${names.slice(0, -1).join(', ')} and ${names.at(-1)}` : names.join('')
}
