import type { PageData } from '../data'
import { el, fill } from './dom'
import { middle } from './apart'
import { isMeant } from './found'
import type { Mesh, Triple } from './mesh'
import type { ModelScene } from './scene'
import type { Choice, Store } from './store'

export interface Pins {
  readonly element: HTMLElement
  /** Other findings, or other pieces to put them on. */
  write(mesh: Mesh, moves: Float32Array): void
}

/** Findings at their places in the model: the chosen one, and all that are meant while the model is looked at for them. */
export function pins(scene: ModelScene, store: Store): Pins {
  const element = el('div', { className: 'pins' })
  let placed: { readonly pin: HTMLElement; readonly place: Triple }[] = []
  const move = () => {
    for (const { pin, place } of placed) {
      const spot = scene.spotOf(place)
      pin.hidden = spot === undefined
      if (spot) pin.style.transform = `translate(${spot[0].toFixed(1)}px, ${spot[1].toFixed(1)}px)`
    }
  }
  scene.onMove(move)
  return {
    element,
    write(mesh, moves) {
      const { choice, book } = store
      placed = pinned(book.data, choice).flatMap((n) => {
        const place = placeOf(book.data, n, mesh, moves, choice.spread)
        return place ? [{ pin: pinOf(store, n), place }] : []
      })
      fill(element, ...placed.map(({ pin }) => pin))
      move()
    },
  }
}

/** Where a finding is in the model as it is drawn: in the middle of its piece where nothing more is known. */
export function placeOf({ findings }: PageData, n: number, { solids }: Mesh, moves: Float32Array, spread: number): Triple | undefined {
  const { spot, pieces } = findings[n]!
  const solid = solids.findIndex(({ piece }) => piece === pieces[0])
  if (solid < 0) return spot
  const [x, y, z] = spot ?? middle(solids[solid]!.box)
  return [x + spread * moves[solid * 3]!, y + spread * moves[solid * 3 + 1]!, z + spread * moves[solid * 3 + 2]!]
}

function pinned({ findings }: PageData, { found, finding, colour }: Choice): number[] {
  const all = finding !== '' || colour === 'findings'
  return findings.flatMap((one, n) => (n === found || (all && isMeant(one, finding)) ? [n] : []))
}

function pinOf(store: Store, n: number): HTMLElement {
  const { severity, text, pieces } = store.book.data.findings[n]!
  const chosen = n === store.choice.found
  // All of them are in the list of findings too, which is what the keyboard goes through.
  const pin = el('button', {
    type: 'button',
    className: `spot ${severity}${chosen ? ' here' : ''}`,
    tabIndex: -1,
    title: `${severity}: ${text}`,
    'aria-label': `finding ${n + 1}`,
  }, el('span', {}, String(n + 1)))
  pin.addEventListener('click', () => store.choose({ found: n, piece: pieces[0] }))
  return pin
}
