import type { Manifold, ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import type { Plate } from '../../lib/craft/plate'
import { faceNormal } from '../../lib/craft/space'

/** The solid modeller the cut plates are judged by; it knows nothing of how they were cut. */
export async function loadSolids(): Promise<ManifoldToplevel> {
  const { default: load } = await import('manifold-3d')
  const wasm = await load()
  wasm.setup()
  return wasm
}

/** The plate as a solid in the model: its card, half its thickness to either side of its plane. */
export function plateSolid(wasm: ManifoldToplevel, plate: Plate): Manifold {
  const loops = [plate.outline, ...plate.openings.map((opening) => opening.loop)]
  const section = new wasm.CrossSection(
    loops.map((loop) => loop.map(([x, y]): [number, number] => [x, y])),
    'Positive',
  )
  const { origin, right, up } = plate.pose
  const out = faceNormal(plate.pose)
  return wasm.Manifold.extrude(section, plate.thickness, 0, 0, [1, 1], true).transform([
    ...right,
    0,
    ...up,
    0,
    ...out,
    0,
    ...origin,
    1,
  ])
}
