import { type Finding, sortFindings } from '../finding/finding'
import type { Model } from '../model/model'
import { inMm } from '../craft/figure'
import { bondFindings } from './bonds'
import { clashFindings, clashesOf } from './clash'
import { gapFindings, slideFindings } from './contact'
import { type MeasuredClearance, clearancesIn } from './clearance'
import { edgeFindings } from './edges'
import { foldedUp } from './foldedUp'
import { homeFindings } from './home'
import { isJig } from './jig'
import type { Kernel } from './kernel'
import { looseFindings } from './loose'
import { placeFindings } from './place'
import { type Scene, about, sceneOf } from './scene'
import { thicknessOf } from './solid'

/**
 * Whether the finished model stands: places, folds that close, clashes, gaps, loose pieces, interlocks that go together
 * and clearances that were asked for; sorted. Jigs are left out, as they are gone by then.
 */
export function fitFindings(given: Pick<Model, 'pieces' | 'stocks' | 'relations'>, kernel: Kernel): Finding[] {
  return fitOf(given, kernel).findings
}

/** The same, with the clearances as they were measured, kept or not. */
export function fitOf(given: Pick<Model, 'pieces' | 'stocks' | 'relations'>, kernel: Kernel): { findings: Finding[]; clearances: MeasuredClearance[] } {
  const model = { ...given, pieces: given.pieces.filter((piece) => !isJig(piece)) }
  const scene = sceneOf(model, kernel)
  try {
    const clashes = clashesOf(scene, model.relations)
    const clearances = clearancesIn(model, scene)
    const findings = sortFindings([
      ...placeFindings(model.pieces),
      ...openFolds(model, scene),
      ...notClosed(scene),
      ...clashFindings(clashes),
      ...gapFindings(model, scene),
      ...edgeFindings(model, scene),
      ...bondFindings(model, scene),
      ...looseFindings(model, scene, clashes),
      ...slideFindings(model, scene),
      ...homeFindings(model, scene),
      ...clearances.flatMap(({ finding }) => finding ?? []),
    ])
    return { findings, clearances }
  } finally {
    scene.dispose()
  }
}

function openFolds({ stocks }: Pick<Model, 'stocks'>, { standing }: Scene): Finding[] {
  return standing.flatMap((one): Finding[] => {
    const { piece, copy } = one
    if (piece.form?.kind !== 'folded' || copy > 1) return []
    const stock = stocks.get(piece.stock)!
    const { open } = foldedUp(piece, piece.form, { ...stock.fold, thickness: thicknessOf(piece, stock) })
    return open.map(({ at, apart }) => ({
      id: 'fold-open',
      severity: 'warning',
      text: `${piece.mark} does not close when folded: along one score its sides end up ${inMm(apart)} apart, 0.05 mm is allowed`,
      remedy: 'mend the angles of its folds, or cut it open along one of them and glue it with a tab',
      ...about(one),
      at: [at[0], at[1]] as const,
      found: apart,
      wanted: 0.05,
    }))
  })
}

function notClosed({ standing, tree }: Scene): Finding[] {
  return standing.flatMap((one): Finding[] => {
    if (one.copy > 1 || tree(one)) return []
    const faces = one.triangles.length / 3
    return [
      {
        id: 'not-solid',
        severity: 'warning',
        text: `the ${faces} faces of ${one.mark} do not close to a body, so that its fit cannot be looked at`,
        remedy: 'look for an outline or an opening that crosses or touches itself',
        ...about(one),
        found: faces,
        wanted: 0,
      },
    ]
  })
}

export type { MeasuredClearance } from './clearance'
export { prepareFit } from './kernel'
export { type Bounds3, type Solid, solidsOf } from './solid'
