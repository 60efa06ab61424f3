import type { PageData } from '../data'
import { movesApart } from './apart'
import { el, fill } from './dom'
import { findingsByPiece, isMeant } from './found'
import { type Mesh, meshOf, type Triple } from './mesh'
import { paintingOf } from './paint'
import type { Plane } from './pick'
import { pieceCard } from './pieceCard'
import { pins, placeOf } from './pins'
import { createScene, type Inks, type ModelScene, type Side } from './scene'
import type { Choice, Store } from './store'
import { tools } from './tools'

/** The model to walk round, with the tools beside it and the card of the chosen piece. */
export function modelPage(store: Store, scene: ModelScene | string): HTMLElement {
  const stage = el('div', { className: 'stage' })
  const page = el('section', { className: 'page model-page', 'aria-label': 'Model' }, tools(store), stage, pieceCard(store))
  if (typeof scene === 'string') {
    fill(stage, withoutScene(store, scene))
    return page
  }
  stage.append(scene.canvas, drive(scene, store), sides(scene), missing(store))
  return page
}

/** The scene, or why there is none. */
export function sceneOrReason(): ModelScene | string {
  try {
    return createScene()
  } catch {
    return 'This browser draws no three-dimensional pictures: it has no WebGL, or it is switched off.'
  }
}

/** Everything but the picture works without WebGL. */
function withoutScene(store: Store, reason: string): HTMLElement {
  const button = el('button', { type: 'button' }, 'Look at the sheets')
  button.addEventListener('click', () => store.choose({ page: 'sheets' }))
  return el(
    'div',
    { className: 'without', role: 'status' },
    el('p', {}, reason),
    el('p', {}, 'The drawings are all here: find a mark for its flat shape, or look at the sheets.'),
    button,
  )
}

function missing(store: Store): HTMLElement {
  const note = el('p', { className: 'missing aside' })
  const write = () => {
    const { pieces } = store.book.data
    const lost = pieces.filter(({ solids }) => !solids).length
    note.hidden = lost === 0 && pieces.length > 0
    fill(note, pieces.length === 0 ? 'This model has no pieces yet.' : `${lost} of ${pieces.length} pieces have no place in space and are not drawn`)
  }
  store.on((changed) => changed.has('book') && write())
  write()
  return note
}

function sides(scene: ModelScene): HTMLElement {
  const names: Record<Side, string> = { corner: 'corner', front: 'front', side: 'side', plan: 'plan' }
  return el(
    'div',
    { className: 'sides', role: 'group', 'aria-label': 'Look from' },
    ...Object.entries(names).map(([side, name]) => {
      const button = el('button', { type: 'button' }, name)
      button.addEventListener('click', () => scene.turnTo(side as Side))
      return button
    }),
  )
}

/** Keeps the scene as the store says, and tells the store what is pointed at. */
function drive(scene: ModelScene, store: Store): HTMLElement {
  let mesh: Mesh
  let moves: Float32Array
  const load = (before?: Mesh) => {
    const made = meshOf(store.book.data.pieces, before)
    mesh = made.mesh
    moves = movesApart(store.book.data, mesh)
    scene.load(made, before !== undefined)
  }
  const marked = pins(scene, store)
  const dress = () => {
    const { data } = store.book
    const { piece, found } = store.choice
    scene.look(looksOf(data, store.choice, mesh, moves))
    scene.cut(planeOf(store.choice, mesh))
    const meant = found === undefined ? [piece] : data.findings[found]!.pieces
    scene.choose(mesh.solids.flatMap((solid, i) => (meant.includes(solid.piece) ? [i] : [])))
    marked.write(mesh, moves)
  }
  const goThere = () => {
    const { found, spread } = store.choice
    const place = found === undefined ? undefined : placeOf(store.book.data, found, mesh, moves, spread)
    if (place) scene.approach(place)
  }
  let name = store.book.data.name
  store.on((changed) => {
    if (changed.has('book')) {
      load(store.book.data.name === name ? mesh : undefined)
      name = store.book.data.name
    }
    if (changed.has('book') || LOOKS.some((key) => changed.has(key))) dress()
    if (changed.has('found') && !changed.has('book')) goThere()
  })
  scene.ink(inks())
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => scene.ink(inks()))
  load()
  dress()
  steer(scene, store, () => mesh)
  // For measuring, and for tests that must know when a picture is there, how fine, and of which build.
  Object.assign(scene.canvas, { draw: scene.draw })
  const { dataset } = scene.canvas
  scene.onShown((finest) => {
    if (!dataset['drawn']) performance.mark('picture')
    dataset['drawn'] = String(Number(dataset['drawn'] ?? 0) + 1)
    dataset['finest'] = String(finest)
    const build = document.documentElement.dataset['builds'] ?? '0'
    if (dataset['shown'] !== build) performance.mark(`build ${build}`)
    dataset['shown'] = build
  })
  return marked.element
}

const LOOKS = [
  'piece',
  'found',
  'assembly',
  'stock',
  'state',
  'finding',
  'rest',
  'colour',
  'built',
  'spread',
  'axis',
  'place',
  'other',
] as const

function looksOf(data: PageData, choice: Choice, { solids }: Mesh, moves: Float32Array) {
  const { tones, of } = paintingOf(data, choice.colour)
  const meant = choice.found === undefined ? [choice.piece] : data.findings[choice.found]!.pieces
  const standing = data.pieces.flatMap(({ solids }, i) => (solids ? [i] : []))
  const last = standing[Math.round(choice.built * standing.length) - 1] ?? -1
  return (i: number) => {
    const { piece } = solids[i]!
    const { paint, pattern } = tones[of[piece]!]!
    const wanted = isWanted(data, choice, piece)
    const shown = piece > last ? 'hidden' : wanted ? 'card' : choice.rest === 'pencil' ? 'pencil' : 'hidden'
    const move: Triple = [0, 1, 2].map((axis) => choice.spread * moves[i * 3 + axis]!) as [number, number, number]
    return { shown, paint: meant.includes(piece) ? reddened(paint) : paint, pattern, move } as const
  }
}

export function isWanted(data: PageData, choice: Choice, i: number): boolean {
  const { pieces, assemblies, stocks, findings, progress } = data
  const piece = pieces[i]!
  const path = assemblies[piece.assembly] ?? ''
  const inAssembly = choice.assembly === '' || path === choice.assembly || path.startsWith(`${choice.assembly}/`)
  const ofStock = choice.stock === '' || stocks[piece.stock]?.id === choice.stock
  const inState = choice.state === '' || progress?.states[progress.pieces[i]!] === choice.state
  const { finding } = choice
  const isFound = finding === '' || findingsByPiece(data)[i]!.some((n) => isMeant(findings[n]!, finding))
  return inAssembly && ofStock && inState && isFound
}

function reddened([r, g, b]: readonly [number, number, number]): [number, number, number] {
  return [Math.min(1, r * 0.6 + 0.36), g * 0.62, b * 0.6]
}

function planeOf({ axis, place, other }: Choice, { box }: Mesh): Plane | undefined {
  if (axis === 'none') return undefined
  const i = { aft: 0, starboard: 1, up: 2 }[axis]
  const at = box.least[i]! + place * (box.most[i]! - box.least[i]!)
  const sign = other ? -1 : 1
  const normal = [0, 0, 0] as [number, number, number]
  normal[i] = sign
  return { normal, at: sign * at }
}

/** Click or tap to choose; arrow keys turn, with Shift they shift, plus and minus zoom. */
function steer(scene: ModelScene, store: Store, mesh: () => Mesh): void {
  const { canvas } = scene
  canvas.tabIndex = 0
  canvas.setAttribute('role', 'application')
  canvas.setAttribute(
    'aria-label',
    'The model. Arrow keys turn it, Shift and arrow keys move it, plus and minus zoom, Escape lets the chosen piece go.',
  )
  let down = [0, 0]
  canvas.addEventListener('pointerdown', ({ offsetX, offsetY }) => (down = [offsetX, offsetY]))
  canvas.addEventListener('click', ({ offsetX, offsetY }) => {
    if (Math.hypot(offsetX - down[0]!, offsetY - down[1]!) > CLICK) return
    const solid = scene.at(offsetX, offsetY)
    store.choose({ piece: solid === undefined ? undefined : mesh().solids[solid]!.piece })
  })
  canvas.addEventListener('keydown', (event) => {
    const act = event.shiftKey ? SHIFTED[event.key] : KEYS[event.key]
    if (!act) return
    act(scene)
    event.preventDefault()
  })
}

/** A pointer that went further than this was turning the model, pixels. */
const CLICK = 5
const TURN = Math.PI / 24
const SHIFT = 30

const KEYS: Readonly<Record<string, (scene: ModelScene) => void>> = {
  ArrowLeft: (scene) => scene.turn(TURN, 0),
  ArrowRight: (scene) => scene.turn(-TURN, 0),
  ArrowUp: (scene) => scene.turn(0, TURN),
  ArrowDown: (scene) => scene.turn(0, -TURN),
  '+': (scene) => scene.zoom(1.15),
  '=': (scene) => scene.zoom(1.15),
  '-': (scene) => scene.zoom(1 / 1.15),
  Home: (scene) => scene.turnTo('corner'),
}

const SHIFTED: Readonly<Record<string, (scene: ModelScene) => void>> = {
  ArrowLeft: (scene) => scene.shift(SHIFT, 0),
  ArrowRight: (scene) => scene.shift(-SHIFT, 0),
  ArrowUp: (scene) => scene.shift(0, SHIFT),
  ArrowDown: (scene) => scene.shift(0, -SHIFT),
  // Where plus is the upper sign of its key.
  '+': (scene) => scene.zoom(1.15),
}

function inks(): Inks {
  return matchMedia('(prefers-color-scheme: dark)').matches
    ? {
        line: [0.1, 0.1, 0.08, 0.55],
        pencil: [0.85, 0.88, 0.8, 0.13],
        ruling: [0.75, 0.85, 0.75, 0.2],
        chosen: [1, 0.42, 0.36, 0.95],
      }
    : {
        line: [0.26, 0.2, 0.12, 0.46],
        pencil: [0.25, 0.26, 0.27, 0.15],
        ruling: [0.36, 0.45, 0.42, 0.32],
        chosen: [0.72, 0.12, 0.1, 0.95],
      }
}
