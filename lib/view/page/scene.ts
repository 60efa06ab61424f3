import {
  BufferAttribute,
  BufferGeometry,
  DataTexture,
  DoubleSide,
  FloatType,
  FrontSide,
  LineSegments,
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
import { coarseTriangles } from './coarse'
import { chosenMaterial, edgeMaterial, faceMaterial, matMaterial, ROW, SHOWN, sharedUniforms } from './material'
import { around, type Box, type Drawn, type EdgeMesh, edgesOf, linesOf, type Mesh, type Patched, type Triple } from './mesh'
import { createPace, FINEST, type Quality, SMOOTH } from './pace'
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
  load(mesh: Patched<Mesh>, keepCamera: boolean): void
  look(of: (solid: number) => Look): void
  cut(plane: Plane | undefined): void
  ink(inks: Inks): void
  /** Draws the edges of these solids through everything. */
  choose(solids: readonly number[]): void
  /** The solid at a place of the canvas, in CSS pixels. */
  at(x: number, y: number): number | undefined
  /** Where a place of the model is on the canvas, in CSS pixels; undefined for one behind the eye. */
  spotOf(place: Triple): readonly [x: number, y: number] | undefined
  turnTo(side: Side): void
  /** Looks at a place from the same side as now, and from near enough to see what is around it. */
  approach(place: Triple): void
  turn(left: number, up: number): void
  zoom(factor: number): void
  shift(x: number, y: number): void
  /** Draws at once, as fine as can be, and gives the time that took in the script, ms, and the draw calls. */
  draw(): { readonly time: number; readonly calls: number; readonly triangles: number }
  /** Called when the eye or the model has moved, before the picture of that is there. */
  onMove(listener: () => void): void
  /** Called when a picture is there to see, with whether it is as fine as it becomes. */
  onShown(listener: (finest: boolean) => void): void
  dispose(): void
}

/** @throws Error where the browser has no WebGL 2 */
export function createScene(): ModelScene {
  const { renderer, slow } = createRenderer()
  const canvas = renderer.domElement
  const gl = renderer.getContext() as WebGL2RenderingContext
  const scene = new Scene()
  const camera = new PerspectiveCamera(28, 1, 1, 1000)
  camera.up.set(0, 0, 1)
  const controls = new OrbitControls(camera, canvas)
  controls.zoomToCursor = true
  const shared = sharedUniforms()
  const stroke = { value: new Vector4(0.7, 0.1, 0.1, 1) }
  const ruling = { value: new Vector4(0.5, 0.5, 0.5, 0.5) }
  // What is whole is closed, so that only a cut shows the inside of anything.
  const [whole, opened] = [faceMaterial(shared, FrontSide), faceMaterial(shared, DoubleSide)]
  const faces = new Faces(new BufferGeometry(), whole)
  const edges = new LineSegments(new BufferGeometry(), edgeMaterial(shared))
  const chosen = new LineSegments(new BufferGeometry(), chosenMaterial(shared, stroke))
  const mat = new Faces(new PlaneGeometry(2, 2), matMaterial(ruling))
  chosen.renderOrder = 2
  scene.add(mat, faces, edges, chosen)
  for (const child of scene.children) child.frustumCulled = false
  // The driver works at this while the model is still being read.
  renderer.compile(scene, camera)
  const pace = createPace(slow)
  const moved: (() => void)[] = []
  const shown: ((finest: boolean) => void)[] = []
  let mesh: Mesh | undefined
  let lines: { readonly edges: EdgeMesh; readonly solids: Mesh['solids'] } | undefined
  let [fine, coarse]: (BufferAttribute | undefined)[] = []
  let looks: DataTexture | undefined
  let seen: Look[] = []
  let plane: Plane | undefined
  // The side that the whole model is shown from, until somebody turns it.
  let side: Triple | undefined
  let drawn: Quality | undefined
  let awaited: { readonly sync: WebGLSync; readonly start: number; readonly paced: boolean } | undefined
  // How long the finest picture took, ms.
  let restTime = Infinity
  let [stale, still, due, timer] = [false, false, 0, 0]

  const render = (quality: Quality, paced: boolean) => {
    const start = performance.now()
    const ratio = Math.min(2, quality.scale * window.devicePixelRatio)
    if (renderer.getPixelRatio() !== ratio) renderer.setPixelRatio(ratio)
    shared.ratio.value = ratio
    // Lines take a while to find: the first picture of a model is there before them.
    edges.visible = quality.edges && drawn !== undefined
    if (edges.visible) prepareEdges()
    if (mesh && fine) faces.geometry.setIndex(quality.coarse ? (coarse ??= attribute(coarseTriangles(mesh), 1)) : fine)
    renderer.render(scene, camera)
    drawn = edges.visible || !quality.edges ? quality : { ...quality, edges: false }
    const { calls, triangles } = renderer.info.render
    if (awaited) gl.deleteSync(awaited.sync)
    // None where the browser has taken the card away; it is drawn anew when that comes back.
    const sync = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0)
    awaited = sync ? { sync, start, paced } : undefined
    gl.flush()
    schedule()
    return { time: performance.now() - start, calls, triangles }
  }
  const schedule = () => {
    if (due === 0) due = requestAnimationFrame(step)
  }
  /** One picture at a time: what a slow machine has not drawn yet would only queue up. */
  const step = () => {
    due = 0
    if (awaited) {
      if (gl.getSyncParameter(awaited.sync, gl.SYNC_STATUS) !== gl.SIGNALED) return schedule()
      const { sync, start, paced } = awaited
      gl.deleteSync(sync)
      awaited = undefined
      const time = performance.now() - start
      if (paced) pace.took(time)
      else if (drawn === FINEST) restTime = time
      for (const listener of shown) listener(drawn === next())
    }
    if (stale) {
      stale = false
      render(pace.quality, true)
    } else if (still && drawn !== next()) {
      render(next(), false)
    }
  }
  /** The picture that the one drawn comes to when nothing moves: itself, where it can become no better. */
  const next = () => {
    const canBeSmoother = slow && window.devicePixelRatio < 2 && restTime < PATIENCE
    return drawn === SMOOTH || (drawn === FINEST && canBeSmoother) ? SMOOTH : FINEST
  }
  const later = () => {
    stale = true
    still = false
    window.clearTimeout(timer)
    timer = window.setTimeout(() => {
      still = true
      schedule()
    }, SETTLED)
    schedule()
  }
  const moves = () => {
    for (const listener of moved) listener()
    later()
  }
  const prepareEdges = () => {
    if (!mesh || lines?.solids === mesh.solids) return
    const { mesh: made, changed } = edgesOf(mesh, lines)
    if (lines && changed) patch(edges.geometry, made, changed, ({ ranges }, i) => ranges[i]!)
    else replace(edges, drawnGeometry(made, mesh.box))
    lines = { edges: made, solids: mesh.solids }
  }
  const resize = () => {
    const { clientWidth, clientHeight } = canvas
    if (clientWidth === 0 || clientHeight === 0) return
    renderer.setSize(clientWidth, clientHeight, false)
    camera.aspect = clientWidth / clientHeight
    camera.updateProjectionMatrix()
    if (side) frame(side)
    moves()
    // The canvas is empty by now.
    render(pace.quality, true)
  }
  const observer = new ResizeObserver(resize)
  observer.observe(canvas)
  canvas.addEventListener('webglcontextrestored', later)
  controls.addEventListener('change', moves)
  controls.addEventListener('start', () => (side = undefined))

  const frame = (direction: Triple) => {
    if (!mesh) return
    side = direction
    const boxes = mesh.solids.map(({ box }, i) => movedBox(box, seen[i]?.move))
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
    moves()
  }

  return {
    canvas,
    load({ mesh: next, changed }, keepCamera) {
      if (mesh && changed) {
        patch(faces.geometry, next.faces, changed, (_, i) => next.solids[i]!.corners)
        for (const i of changed) {
          const [from, to] = next.solids[i]!.triangles
          fine!.addUpdateRange(from, to - from)
        }
        fine!.needsUpdate = changed.length > 0
        if (changed.length > 0) coarse = undefined
      } else {
        replace(faces, faceGeometry(next))
        fine = faces.geometry.index!
        coarse = undefined
        looks?.dispose()
        looks = looksTexture(next.solids.length)
        shared.looks.value = looks
        seen = []
      }
      if (!keepCamera) drawn = undefined
      mesh = next
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
      if (side && hasMoved) frame(side)
      moves()
    },
    cut(next) {
      plane = next
      shared.cut.value.set(...(next ? next.normal : ([0, 0, 0] as const)), next?.at ?? 1)
      faces.material = next ? opened : whole
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
      if (mesh) replace(chosen, drawnGeometry(linesOf(mesh, solids), mesh.box))
      later()
    },
    at(x, y) {
      if (!mesh) return undefined
      const { clientWidth, clientHeight } = canvas
      const spot = new Vector2((2 * x) / clientWidth - 1, 1 - (2 * y) / clientHeight)
      const along = new Vector3(spot.x, spot.y, 0.5).unproject(camera).sub(camera.position)
      const ray = { from: camera.position.toArray(), along: along.toArray() }
      return pick(mesh, ray, (i) => seen[i]?.shown === 'card', new Float32Array(seen.flatMap(({ move }) => move)), plane)
    },
    spotOf(place) {
      camera.updateMatrixWorld()
      const { x, y, z } = new Vector3(...place).project(camera)
      return z > 1 ? undefined : [((x + 1) / 2) * canvas.clientWidth, ((1 - y) / 2) * canvas.clientHeight]
    },
    turnTo: (name) => frame(SIDES[name]),
    approach(place) {
      if (!mesh) return
      side = undefined
      const { least, most } = mesh.box
      const radius = Math.hypot(...most.map((value, i) => value - least[i]!)) / 2 || 10
      const back = camera.position.clone().sub(controls.target)
      const distance = Math.min(back.length(), (NEAR * radius) / Math.tan((camera.fov * Math.PI) / 360))
      controls.target.set(...place)
      camera.position.copy(controls.target).addScaledVector(back.normalize(), distance)
      controls.update()
      moves()
    },
    turn(left, up) {
      side = undefined
      controls.rotateLeft(left)
      controls.rotateUp(up)
      moves()
    },
    zoom(factor) {
      side = undefined
      controls.dollyIn(1 / factor)
      moves()
    },
    shift(x, y) {
      side = undefined
      controls.pan(x, y)
      moves()
    },
    draw: () => {
      drawn ??= { ...FINEST, edges: false }
      return render(FINEST, false)
    },
    onMove: (listener) => void moved.push(listener),
    onShown: (listener) => void shown.push(listener),
    dispose() {
      observer.disconnect()
      controls.dispose()
      renderer.dispose()
    },
  }
}

/** Nothing has moved for this long, ms. */
const SETTLED = 180
/** Where the finest picture takes longer, it is not drawn again with more points, ms. */
const PATIENCE = 500
/** Of the model's radius: what can be seen around a place that is approached. */
const NEAR = 0.4

/**
 * Smoothing edges takes a program that draws in place of a graphics card twice as long. Whether it is one can only be asked
 * of a context.
 *
 * @throws Error where the browser has no WebGL 2
 */
function createRenderer(): { renderer: WebGLRenderer; slow: boolean } {
  const first = contextOf(true)
  const told = first.getExtension('WEBGL_debug_renderer_info')
  const name = String(first.getParameter(told ? told.UNMASKED_RENDERER_WEBGL : first.RENDERER))
  const slow = /swiftshader|llvmpipe|softpipe|software|basic render/i.test(name)
  if (slow) first.getExtension('WEBGL_lose_context')?.loseContext()
  const context = slow ? contextOf(false) : first
  const canvas = context.canvas as HTMLCanvasElement
  return { renderer: new WebGLRenderer({ canvas, context, alpha: true }), slow }
}

function contextOf(antialias: boolean): WebGL2RenderingContext {
  const canvas = document.createElement('canvas')
  const context = canvas.getContext('webgl2', { antialias, alpha: true, powerPreference: 'high-performance' })
  if (!context) throw new Error('there is no WebGL 2')
  return context
}

function looksTexture(solids: number): DataTexture {
  const texture = new DataTexture(null, ROW, Math.max(1, Math.ceil((2 * solids) / ROW)), RGBAFormat, FloatType)
  texture.image.data = new Float32Array(ROW * texture.image.height * 4)
  texture.minFilter = texture.magFilter = NearestFilter
  return texture
}

function replace(drawn: Faces | LineSegments, geometry: BufferGeometry): void {
  drawn.geometry.dispose()
  drawn.geometry = geometry
}

/** Sends the corners of these solids to the card anew. */
function patch<Made extends Drawn>(geometry: BufferGeometry, made: Made, changed: readonly number[], rangeOf: (made: Made, solid: number) => readonly [number, number]): void {
  for (const attribute of Object.values(geometry.attributes) as BufferAttribute[]) {
    for (const i of changed) {
      const [from, to] = rangeOf(made, i)
      attribute.addUpdateRange(from * attribute.itemSize, (to - from) * attribute.itemSize)
    }
    attribute.needsUpdate = changed.length > 0
  }
}

/** Clear of the edges of the picture. */
const ROOM = 1.12

function movedBox({ least, most }: Box, [x, y, z]: Triple = [0, 0, 0]): Box {
  return { least: [least[0] + x, least[1] + y, least[2] + z], most: [most[0] + x, most[1] + y, most[2] + z] }
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
  const geometry = drawnGeometry(faces, box)
  geometry.setAttribute('normal', new BufferAttribute(faces.normals, 4, true))
  geometry.setIndex(attribute(faces.triangles, 1))
  return geometry
}

function drawnGeometry({ positions, owners }: Drawn, box: Box): BufferGeometry {
  const geometry = new BufferGeometry()
  // Three would go through all corners for it, to sort by distance what is drawn in one piece.
  geometry.boundingSphere = new Sphere(new Vector3(...middle(box)), 1)
  geometry.setAttribute('position', attribute(positions, 3))
  geometry.setAttribute('owner', attribute(owners, 1))
  return geometry
}

function attribute(numbers: Float32Array | Uint32Array, size: number): BufferAttribute {
  return new BufferAttribute(numbers, size)
}
