import {
  BufferAttribute,
  BufferGeometry,
  DataTexture,
  FloatType,
  LineSegments,
  type Material,
  Mesh as Faces,
  NearestFilter,
  PerspectiveCamera,
  PlaneGeometry,
  RGBAFormat,
  Scene,
  Sphere,
  Vector2,
  Vector3,
  Vector4,
  WebGLRenderer,
} from 'three'
import { OrbitControls } from 'three/addons/controls/OrbitControls.js'
import { middle } from './apart'
import { chosenMaterial, edgeMaterial, faceMaterial, matMaterial, ROW, SHOWN, sharedUniforms } from './material'
import type { Box, Mesh, Triple } from './mesh'
import { pick, type Plane } from './pick'

export type Paint = readonly [red: number, green: number, blue: number]

/** How each solid looks now. Patterns: 0 plain, 1 striped, 2 dotted, 3 crossed. */
export interface Look {
  readonly shown: keyof typeof SHOWN
  readonly paint: Paint
  readonly pattern: number
  readonly move: Triple
}

export interface Inks {
  readonly line: readonly [number, number, number, number]
  readonly pencil: readonly [number, number, number, number]
  readonly ruling: readonly [number, number, number, number]
  readonly chosen: readonly [number, number, number, number]
}

export type Side = 'corner' | 'front' | 'side' | 'plan'

export interface ModelScene {
  readonly canvas: HTMLCanvasElement
  /** Shows this model; the camera stays unless it is the first or another one. */
  load(mesh: Mesh, keepCamera: boolean): void
  look(of: (solid: number) => Look): void
  cut(plane: Plane | undefined): void
  ink(inks: Inks): void
  /** Draws the edges of one piece's solids through everything. */
  choose(solids: readonly number[]): void
  /** The solid at a place of the canvas, in CSS pixels. */
  at(x: number, y: number): number | undefined
  turnTo(side: Side): void
  turn(left: number, up: number): void
  zoom(factor: number): void
  shift(x: number, y: number): void
  /** Draws at once and gives the time it took, ms, and the draw calls. */
  draw(): { readonly time: number; readonly calls: number; readonly triangles: number }
  onDraw(listener: () => void): void
  dispose(): void
}

/** @throws Error where the browser has no WebGL 2 */
export function createScene(): ModelScene {
  const canvas = document.createElement('canvas')
  const renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, powerPreference: 'high-performance' })
  const scene = new Scene()
  const camera = new PerspectiveCamera(28, 1, 1, 1000)
  camera.up.set(0, 0, 1)
  const controls = new OrbitControls(camera, canvas)
  controls.zoomToCursor = true
  const shared = sharedUniforms()
  const stroke = { value: new Vector4(0.7, 0.1, 0.1, 1) }
  const ruling = { value: new Vector4(0.5, 0.5, 0.5, 0.5) }
  const materials: Record<'faces' | 'edges' | 'chosen', Material> = {
    faces: faceMaterial(shared),
    edges: edgeMaterial(shared),
    chosen: chosenMaterial(shared, stroke),
  }
  const mat = new Faces(new PlaneGeometry(2, 2), matMaterial(ruling))
  const listeners: (() => void)[] = []
  let mesh: Mesh | undefined
  let looks: DataTexture | undefined
  let seen: Look[] = []
  let plane: Plane | undefined
  let chosen: LineSegments[] = []
  let due = 0
  // The side that the whole model is shown from, until somebody turns it.
  let whole: Triple | undefined

  const draw = () => {
    cancelAnimationFrame(due)
    due = 0
    const start = performance.now()
    renderer.render(scene, camera)
    for (const listener of listeners) listener()
    const { calls, triangles } = renderer.info.render
    return { time: performance.now() - start, calls, triangles }
  }
  const later = () => {
    if (due === 0) due = requestAnimationFrame(draw)
  }
  const resize = () => {
    const { clientWidth, clientHeight } = canvas
    if (clientWidth === 0 || clientHeight === 0) return
    renderer.setPixelRatio(Math.min(2, window.devicePixelRatio))
    renderer.setSize(clientWidth, clientHeight, false)
    camera.aspect = clientWidth / clientHeight
    camera.updateProjectionMatrix()
    if (whole) frame(whole)
    draw()
  }
  const observer = new ResizeObserver(resize)
  observer.observe(canvas)
  controls.addEventListener('change', later)
  controls.addEventListener('start', () => (whole = undefined))

  const frame = (direction: Triple) => {
    if (!mesh) return
    whole = direction
    const boxes = mesh.solids.map(({ box }, i) => moved(box, seen[i]?.move))
    const all = around(boxes)
    const centre = new Vector3(...middle(all))
    const radius = Math.hypot(...all.most.map((value, i) => value - all.least[i]!)) / 2 || 10
    controls.target.copy(centre)
    camera.position.copy(centre).add(new Vector3(...direction))
    camera.lookAt(centre)
    const back = new Vector3(...direction).normalize()
    camera.position.copy(centre).addScaledVector(back, distanceFor(boxes, centre, camera) * ROOM)
    camera.near = radius / 50
    camera.far = radius * 60
    camera.updateProjectionMatrix()
    controls.minDistance = radius / 20
    controls.maxDistance = radius * 12
    controls.update()
    later()
  }

  return {
    canvas,
    load(next, keepCamera) {
      mesh = next
      seen = []
      looks?.dispose()
      looks = new DataTexture(null, ROW, Math.max(1, Math.ceil((2 * next.solids.length) / ROW)), RGBAFormat, FloatType)
      looks.image.data = new Float32Array(ROW * looks.image.height * 4)
      looks.minFilter = looks.magFilter = NearestFilter
      shared.looks.value = looks
      for (const child of scene.children) if (child !== mat) (child as Faces).geometry.dispose()
      scene.clear()
      const edges = edgeGeometry(next)
      scene.add(mat, new Faces(faceGeometry(next), materials.faces), new LineSegments(edges, materials.edges))
      for (const child of scene.children) child.frustumCulled = false
      chosen = []
      const { least, most } = next.box
      const [x, y] = middle(next.box)
      mat.position.set(x, y, least[2] - 0.3)
      mat.scale.setScalar(1.6 * Math.max(40, Math.hypot(most[0] - least[0], most[1] - least[1])))
      if (!keepCamera) frame(SIDES.corner)
    },
    look(of) {
      if (!mesh || !looks) return
      const data = looks.image.data as Float32Array
      const before = seen
      seen = mesh.solids.map((_, i) => of(i))
      for (const [i, { shown, paint, pattern, move }] of seen.entries()) {
        data.set([...paint, pattern, ...move, SHOWN[shown]], i * 8)
      }
      looks.needsUpdate = true
      const hasMoved = seen.some(({ move }, i) => move.some((value, axis) => value !== before[i]?.move[axis]))
      if (whole && hasMoved) frame(whole)
      later()
    },
    cut(next) {
      plane = next
      shared.cut.value.set(...(next ? next.normal : ([0, 0, 0] as const)), next?.at ?? 1)
      later()
    },
    ink({ line, pencil, ruling: ruled, chosen: red }) {
      shared.line.value.set(...line)
      shared.pencil.value.set(...pencil)
      ruling.value.set(...ruled)
      stroke.value.set(...red)
      later()
    },
    choose(solids) {
      for (const line of chosen) {
        scene.remove(line)
        line.geometry.dispose()
      }
      const source = scene.children.find((child) => child instanceof LineSegments)
      chosen = solids.map((i) => {
        const geometry = new BufferGeometry()
        geometry.boundingSphere = source!.geometry.boundingSphere
        for (const name of ['position', 'owner']) geometry.setAttribute(name, source!.geometry.getAttribute(name))
        const [from, to] = mesh!.solids[i]!.edges
        geometry.setDrawRange(from, to - from)
        const lines = new LineSegments(geometry, materials.chosen)
        lines.frustumCulled = false
        lines.renderOrder = 2
        return lines
      })
      if (chosen.length > 0) scene.add(...chosen)
      later()
    },
    at(x, y) {
      if (!mesh) return undefined
      const { clientWidth, clientHeight } = canvas
      const spot = new Vector2((2 * x) / clientWidth - 1, 1 - (2 * y) / clientHeight)
      const along = new Vector3(spot.x, spot.y, 0.5).unproject(camera).sub(camera.position)
      const moves = new Float32Array(seen.flatMap(({ move }) => move))
      const ray = { from: camera.position.toArray(), along: along.toArray() }
      return pick(mesh, ray, (i) => seen[i]?.shown === 'card', moves, plane)
    },
    turnTo: (side) => frame(SIDES[side]),
    turn(left, up) {
      whole = undefined
      controls.rotateLeft(left)
      controls.rotateUp(up)
      later()
    },
    zoom(factor) {
      whole = undefined
      controls.dollyIn(1 / factor)
      later()
    },
    shift(x, y) {
      whole = undefined
      controls.pan(x, y)
      later()
    },
    draw,
    onDraw: (listener) => void listeners.push(listener),
    dispose() {
      observer.disconnect()
      controls.dispose()
      renderer.dispose()
    },
  }
}

/** Clear of the edges of the picture. */
const ROOM = 1.12

function moved({ least, most }: Box, [x, y, z]: Triple = [0, 0, 0]): Box {
  return { least: [least[0] + x, least[1] + y, least[2] + z], most: [most[0] + x, most[1] + y, most[2] + z] }
}

function around(boxes: readonly Box[]): Box {
  if (boxes.length === 0) return { least: [0, 0, 0], most: [0, 0, 0] }
  const of = (pick: (...values: number[]) => number, end: 'least' | 'most') =>
    [0, 1, 2].map((axis) => boxes.reduce((value, box) => pick(value, box[end][axis]!), boxes[0]![end][axis]!))
  return { least: of(Math.min, 'least') as unknown as Triple, most: of(Math.max, 'most') as unknown as Triple }
}

/** From the middle, so that all solids are in the picture of a camera that looks at it. */
function distanceFor(boxes: readonly Box[], centre: Vector3, camera: PerspectiveCamera): number {
  const up = Math.tan((camera.fov * Math.PI) / 360)
  const turn = camera.quaternion.clone().invert()
  const corner = new Vector3()
  let distance = 0
  for (const box of boxes) {
    for (let i = 0; i < 8; i++) {
      const [x, y, z] = [0, 1, 2].map((axis) => (i & (1 << axis) ? box.most : box.least)[axis]!)
      corner.set(x!, y!, z!).sub(centre).applyQuaternion(turn)
      const aside = Math.max(Math.abs(corner.y) / up, Math.abs(corner.x) / (up * camera.aspect))
      distance = Math.max(distance, corner.z + aside)
    }
  }
  return distance || 10
}

/** Where the eye stands, from the middle of the model: x aft, y starboard, z up. */
const SIDES: Readonly<Record<Side, Triple>> = {
  corner: [-0.8, -1, 0.6],
  front: [-1, 0, 0],
  side: [0, -1, 0],
  plan: [0, -0.0001, 1],
}

function faceGeometry({ faces, box }: Mesh): BufferGeometry {
  const geometry = new BufferGeometry()
  geometry.boundingSphere = sphereOf(box)
  geometry.setAttribute('position', new BufferAttribute(faces.positions, 3))
  geometry.setAttribute('owner', new BufferAttribute(faces.owners, 1))
  geometry.setAttribute('normal', new BufferAttribute(faces.normals, 4, true))
  geometry.setIndex(new BufferAttribute(faces.triangles, 1))
  return geometry
}

/** Three would go through all corners for it, to sort by distance what is drawn in one piece. */
function sphereOf(box: Box): Sphere {
  return new Sphere(new Vector3(...middle(box)), 1)
}

function edgeGeometry({ edges, box }: Mesh): BufferGeometry {
  const geometry = new BufferGeometry()
  geometry.boundingSphere = sphereOf(box)
  geometry.setAttribute('position', new BufferAttribute(edges.positions, 3))
  geometry.setAttribute('owner', new BufferAttribute(edges.owners, 1))
  return geometry
}
