import type { Manifold, ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import type { Body } from './body'

/** The modeller that bodies are compared by, once it is loaded. */
export type Kernel = ManifoldToplevel

let loaded: Promise<Kernel> | undefined

/** Loads the modeller, once: it is a large module that only looking at the fit needs. */
export function prepareFit(): Promise<Kernel> {
  loaded ??= (async () => {
    const { default: load } = await import('manifold-3d')
    const kernel = await load()
    kernel.setup()
    return kernel
  })()
  return loaded
}

/** The modeller's own body for a solid; undefined for one that is not closed. To be deleted after use. */
export function bodyIn(kernel: Kernel, { vertices, triangles }: Body): Manifold | undefined {
  try {
    const mesh = new kernel.Mesh({ numProp: 3, vertProperties: Float32Array.from(vertices), triVerts: triangles })
    return new kernel.Manifold(mesh)
  } catch {
    return undefined
  }
}
