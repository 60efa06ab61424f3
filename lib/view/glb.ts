import { Document, NodeIO } from '@gltf-transform/core'
import type { Solid } from '../fit/solid'
import { nameOf } from './threeMf'

/** What the exported parts belong to, and how their card looks: red, green and blue, 0 to 1, linear. */
export interface GlbInput {
  readonly title: string
  readonly solids: readonly Solid[]
  /** Path of the assembly, by mark. */
  readonly assemblyOf: ReadonlyMap<string, string>
  /** Stock, by mark. */
  readonly stockOf: ReadonlyMap<string, string>
}

/**
 * Solids as binary glTF 2.0 (ISO/IEC 12113): a named node for each, below nodes for its assemblies. As the standard has it
 * lengths are metres, y is up and the model looks along +z; the bow lies at the front.
 */
export async function glbOf({ title, solids, assemblyOf, stockOf }: GlbInput): Promise<Uint8Array> {
  const document = new Document()
  const buffer = document.createBuffer()
  const scene = document.createScene(title)
  document.getRoot().setDefaultScene(scene)
  const root = document.createNode(title)
  scene.addChild(root)
  const assemblies = new Map([['', root]])
  const nodeAt = (path: string): ReturnType<typeof document.createNode> => {
    const known = assemblies.get(path)
    if (known) return known
    const cut = path.lastIndexOf('/')
    const node = document.createNode(path.slice(cut + 1))
    nodeAt(cut < 0 ? '' : path.slice(0, cut)).addChild(node)
    assemblies.set(path, node)
    return node
  }
  const materials = new Map(
    [...new Set(stockOf.values())].toSorted().map((stock, i) => {
      const [r, g, b] = CARDS[i % CARDS.length]!
      return [stock, document.createMaterial(stock).setBaseColorFactor([r, g, b, 1]).setMetallicFactor(0).setRoughnessFactor(0.9)]
    }),
  )
  for (const solid of solids) {
    const { mark, copy } = solid
    const name = nameOf(mark, copy)
    const { positions, normals } = facets(solid)
    const accessor = (array: Float32Array) => document.createAccessor().setType('VEC3').setArray(array as Float32Array<ArrayBuffer>).setBuffer(buffer)
    const primitive = document.createPrimitive().setAttribute('POSITION', accessor(positions)).setAttribute('NORMAL', accessor(normals))
    const material = materials.get(stockOf.get(mark) ?? '')
    if (material) primitive.setMaterial(material)
    nodeAt(assemblyOf.get(mark) ?? '').addChild(document.createNode(name).setMesh(document.createMesh(name).addPrimitive(primitive)))
  }
  return new NodeIO().writeBinary(document)
}

/** Manila, grey-green and two more kinds of card, linear. */
const CARDS = [
  [0.56, 0.42, 0.22],
  [0.75, 0.6, 0.35],
  [0.35, 0.42, 0.38],
  [0.62, 0.62, 0.6],
] as const

/** Flat faces need corners of their own, for card has sharp edges. Triangles without area are left out. */
function facets({ vertices, triangles }: Solid): { positions: Float32Array; normals: Float32Array } {
  const positions: number[] = []
  const normals: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => corner(vertices, triangles[t + k]!)) as [Corner, Corner, Corner]
    const [u, v] = [from(a, b), from(a, c)]
    const n: Corner = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
    const length = Math.hypot(...n)
    if (length < 1e-16) continue
    positions.push(...a, ...b, ...c)
    for (let k = 0; k < 3; k++) normals.push(n[0] / length, n[1] / length, n[2] / length)
  }
  return { positions: Float32Array.from(positions), normals: Float32Array.from(normals) }
}

type Corner = [number, number, number]

/** From aft, starboard, up in mm to left, up, front in m. */
function corner(vertices: Float64Array, i: number): Corner {
  return [-vertices[3 * i + 1]! / 1000, vertices[3 * i + 2]! / 1000, -vertices[3 * i]! / 1000]
}

function from(a: Corner, b: Corner): Corner {
  return [b[0] - a[0], b[1] - a[1], b[2] - a[2]]
}
