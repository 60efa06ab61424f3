import type { PageData } from '../data'
import type { Box, Mesh, Triple } from './mesh'

/** How far and which way each solid moves when the model is taken apart completely, three numbers a solid, mm. */
export function movesApart({ pieces, assemblies }: PageData, { solids, box }: Mesh): Float32Array {
  const levels = solids.map(({ piece }) => levelsOf(assemblies[pieces[piece]!.assembly] ?? ''))
  const centres = new Map<string, Sum>()
  for (const [i, solid] of solids.entries()) {
    for (const level of levels[i]!) add(centres, level, middle(solid.box))
  }
  const moves = new Float32Array(solids.length * 3)
  const size = Math.hypot(...box.most.map((value, i) => value - box.least[i]!))
  const rank = ranks(levels.map((own) => own[1] ?? ''))
  for (const [i, solid] of solids.entries()) {
    const path = [...levels[i]!.map((level) => mean(centres.get(level)!)), middle(solid.box)]
    for (let step = 1; step < path.length; step++) {
      // Groups move less than what is in them, so that one stays apart from the next.
      const share = SHARES[Math.min(step, SHARES.length) - 1]!
      for (let axis = 0; axis < 3; axis++) {
        moves[i * 3 + axis]! += share * (path[step]![axis]! - path[step - 1]![axis]!)
      }
    }
    // What is built later stands higher: groups around one axis would stay inside each other.
    moves[i * 3 + 2]! += size * LIFT * (rank.get(levels[i]![1] ?? '') ?? 0)
  }
  return moves
}

const SHARES = [0.9, 1, 0.8] as const
/** Of the model's size, for the assembly that is built last. */
const LIFT = 0.45

/** `wing/ribs` lies in the model, in `wing`, and in `wing/ribs`. */
function levelsOf(path: string): string[] {
  const names = path === '' ? [] : path.split('/')
  return ['', ...names.map((_, i) => names.slice(0, i + 1).join('/'))]
}

interface Sum {
  readonly total: [number, number, number]
  count: number
}

function add(sums: Map<string, Sum>, key: string, point: Triple): void {
  const sum = sums.get(key) ?? { total: [0, 0, 0], count: 0 }
  for (let axis = 0; axis < 3; axis++) sum.total[axis]! += point[axis]!
  sum.count++
  sums.set(key, sum)
}

function mean({ total, count }: Sum): Triple {
  return [total[0] / count, total[1] / count, total[2] / count]
}

export function middle({ least, most }: Box): Triple {
  return [(least[0] + most[0]) / 2, (least[1] + most[1]) / 2, (least[2] + most[2]) / 2]
}

/** From 0 for the first name to 1 for the last, in the order they come. */
function ranks(names: readonly string[]): Map<string, number> {
  const distinct = [...new Set(names)]
  return new Map(distinct.map((name, i) => [name, distinct.length > 1 ? i / (distinct.length - 1) : 0]))
}
