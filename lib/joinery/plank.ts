import type { Finding } from '../finding/finding'
import { type BetweenOptions, developBetween } from '../craft/develop/between'
import { planeLine } from '../craft/develop/carry'
import { distancesTo } from '../craft/develop/distance'
import type { FlatLine } from '../craft/flat'
import { faceNormal, toModel } from '../craft/space'
import { remembered } from '../memo/remember'
import type { PieceSet } from '../model/assembly'
import type { Vector } from '../shape/pose'
import { batten } from './batten'
import { type CoveringOptions, type CoveringPanel, type Ground, cover } from './covering'
import type { Run, RunSection } from './sections'
import { stretchOf } from './stretch'

export interface PlankOptions extends CoveringOptions {
  readonly to: NonNullable<CoveringOptions['to']>
}

/**
 * A plank that runs along the model between two lines, bent across from one to the other: the bottom of a hull between
 * keel and chine, `plank('HB', frames, { stock: 'folder', from: keelPoint, to: chinePoint })`. Where the frames are
 * straight between the lines this lies better than a skin from frame to frame. The lines go through the sections'
 * points as battens do (natural cubic splines).
 */
export function plank(code: string, over: Run, options: PlankOptions): PieceSet {
  const develop = ({ sections, out, allowed, inside }: Ground, from: number, to: number): CoveringPanel => {
    const edges = sections.slice(from, to + 1).map((section) => stretched(section, options))
    const [first, second] = [edges.map((edge) => edge[0]!), edges.map((edge) => edge.at(-1)!)]
    const between: BetweenOptions = { out, allowed, inside }
    const inner = edges.slice(1, -1)
    const { skin, off } = remembered('plank', () => JSON.stringify([first, second, between, inner]), () => {
      const made = developBetween(batten(first), batten(second), between)
      return { skin: made, off: inner.map((edge) => Math.max(...distancesTo(made.development, edge))) }
    })
    const worst = off.reduce((best, value, i) => (value > (off[best] ?? 0) ? i : best), 0)
    const lines = sections.slice(from + 1, to).map(({ pose }): FlatLine => {
      return { kind: 'align', line: planeLine(skin.development, pose.origin, faceNormal(pose)), closed: false }
    })
    const findings = [...skin.findings]
    if ((off[worst] ?? 0) > allowed) findings.push(standsOff(sections[from + 1 + worst]!, off[worst]!, allowed))
    return {
      development: skin.development,
      flat: { ...skin.flat, lines: [...skin.flat.lines, ...lines] },
      deviation: Math.max(skin.deviation, ...off),
      findings,
    }
  }
  return cover(code, over, options, develop)
}

function stretched(section: RunSection, { from, to }: PlankOptions): Vector[] {
  return stretchOf(section, from, to).map((point) => toModel(section.pose, point))
}

function standsOff({ name }: RunSection, off: number, allowed: number): Finding {
  return {
    id: 'not-developable',
    severity: 'warning',
    text: `the plank stands ${off.toFixed(2)} mm off ${name}, ${allowed.toFixed(2)} mm is allowed`,
    remedy: `split it at ${name}, or allow the gap`,
    found: off,
    wanted: allowed,
  }
}
