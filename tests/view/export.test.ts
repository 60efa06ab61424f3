import { XMLParser } from 'fast-xml-parser'
import { strFromU8, unzipSync } from 'fflate'
import { validateBytes } from 'gltf-validator'
import { STLLoader } from 'three/examples/jsm/loaders/STLLoader.js'
import { describe, expect, test } from 'vitest'
import { type Solid, solidsOf } from '../../lib/fit/solid'
import { builtInStock } from '../../lib/stock/catalogue'
import { glbOf } from '../../lib/view/glb'
import { stlOf } from '../../lib/view/stl'
import { threeMfOf } from '../../lib/view/threeMf'
import { box, testPiece } from '../sheet/pieces'

const folder = builtInStock('folder')
const pose = { origin: [10, 20, 30], right: [0, 1, 0], up: [0, 0, 1] } as const

/** A plate of 40 × 30 mm with a hole of 10 × 10 mm, twice, and one with a name that needs care. */
const solids: Solid[] = [
  ...solidsOf(
    testPiece('FR-01', box(0, 0, 40, 30), { copies: 2, pose, also: [{ ...pose, origin: [60, 20, 30] }], openings: [{ kind: 'opening', loop: box(10, 10, 20, 20).toReversed() }] }),
    folder,
  ),
  ...solidsOf(testPiece('A<"B">&C', box(0, 0, 10, 10), { pose }), folder),
]
const WANTED = (2 * (1200 - 100) + 100) * folder.thickness.value

/** Volume by the divergence theorem: a sixth of the sum of a · (b × c). */
function volume(at: (i: number) => readonly [number, number, number], corners: number): number {
  let sum = 0
  for (let i = 0; i < corners; i += 3) {
    const [[ax, ay, az], [bx, by, bz], [cx, cy, cz]] = [at(i), at(i + 1), at(i + 2)]
    sum += ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
  }
  return sum / 6
}

describe('the built model as a file', () => {
  test('GLB passes the Khronos validator, and has a named node for each piece below its assembly', async () => {
    const bytes = await glbOf({
      title: 'Tug 1:60',
      solids,
      assemblyOf: new Map([['FR-01', 'hull/frames'], ['A<"B">&C', 'hull']]),
      stockOf: new Map([['FR-01', 'folder'], ['A<"B">&C', 'folder']]),
    })
    const { issues, info } = await validateBytes(bytes)
    expect(issues.messages).toEqual([])
    expect(info.totalTriangleCount).toBe(solids.reduce((sum, { triangles }) => sum + triangles.length / 3, 0))
    const json = JSON.parse(new TextDecoder().decode(bytes.subarray(20, 20 + new DataView(bytes.buffer, bytes.byteOffset).getUint32(12, true))))
    const nodes = json.nodes as { name: string; children?: number[] }[]
    const frames = nodes.find(({ name }) => name === 'frames')!
    expect(frames.children!.map((i) => nodes[i]!.name)).toEqual(['FR-01', 'FR-01#2'])
    expect(nodes.find(({ name }) => name === 'hull')!.children!.map((i) => nodes[i]!.name).toSorted()).toEqual(['A<"B">&C', 'frames'])
    // y up, metres: 30 mm up is 0.03; the bow, at the least x, lies furthest to the front.
    const { min, max } = json.accessors[0] as { min: number[]; max: number[] }
    expect(min[1]).toBeCloseTo(0.03, 7)
    expect(max[2]! - min[2]!).toBeCloseTo(folder.thickness.value / 1000, 6)
  })

  test('STL, read back by the loader of three.js, has the volume of the pieces', () => {
    const bytes = stlOf('Tug 1:60', solids)
    const position = new STLLoader().parse(bytes.buffer as ArrayBuffer).getAttribute('position')!
    const read = volume((i) => [position.getX(i), position.getY(i), position.getZ(i)], position.count)
    expect(read / WANTED).toBeCloseTo(1, 4)
  })

  test('3MF, read back as XML, has the names and the volume of the pieces', () => {
    const bytes = threeMfOf('Tug & Co', solids)
    const files = unzipSync(bytes)
    expect(Object.keys(files)).toEqual(['[Content_Types].xml', '_rels/.rels', '3D/3dmodel.model'])
    const parser = new XMLParser({ ignoreAttributes: false, attributeNamePrefix: '', htmlEntities: true })
    const { model } = parser.parse(strFromU8(files['3D/3dmodel.model']!))
    expect([model.unit, model.metadata['#text']]).toEqual(['millimeter', 'Tug & Co'])
    const objects = model.resources.object as { name: string; mesh: { vertices: { vertex: Record<string, string>[] }; triangles: { triangle: Record<string, string>[] } } }[]
    expect(objects.map(({ name }) => name)).toEqual(['FR-01', 'FR-01#2', 'A<"B">&C'])
    const read = objects.reduce((sum, { mesh }) => {
      const corner = (i: number) => {
        const { x, y, z } = mesh.vertices.vertex[i]!
        return [Number(x), Number(y), Number(z)] as const
      }
      const corners = mesh.triangles.triangle.flatMap(({ v1, v2, v3 }) => [Number(v1), Number(v2), Number(v3)])
      return sum + volume((i) => corner(corners[i]!), corners.length)
    }, 0)
    expect(read / WANTED).toBeCloseTo(1, 6)
    expect(threeMfOf('Tug & Co', solids)).toEqual(bytes)
  })
})
