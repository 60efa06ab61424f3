import type { PageData, PagePiece } from '../data'
import { el, fill, plural, svg } from './dom'
import { pathOf, spanOf } from './flat'
import { findingsByPiece, isInModel } from './found'
import type { Store } from './store'
import { unpackLoops } from './unpack'

/** The index card of the chosen piece; empty while none is chosen. */
export function pieceCard(store: Store): HTMLElement {
  const card = el('aside', { className: 'card', 'aria-label': 'The chosen piece', hidden: true })
  const write = () => {
    const { piece } = store.choice
    card.hidden = piece === undefined
    if (piece !== undefined) fill(card, ...contents(store, store.book.data, piece))
  }
  store.on((changed) => (changed.has('piece') || changed.has('found') || changed.has('book')) && write())
  write()
  return card
}

function contents(store: Store, data: PageData, index: number): Node[] {
  const piece = data.pieces[index]!
  const { mark, notes, reads, site, solids } = piece
  const away = el('button', { className: 'away', type: 'button', 'aria-label': 'Put the card away' }, '×')
  away.addEventListener('click', () => store.choose({ piece: undefined }))
  return [
    el('header', {}, el('h2', {}, mark), away),
    flatDrawing(piece),
    ...(solids ? [] : [el('p', { className: 'aside' }, 'It has no place in space yet, so only its flat shape is drawn.')]),
    el('dl', {}, ...factsOf(data, index).flatMap(([name, value]) => [el('dt', {}, name), el('dd', {}, value)])),
    sheetLinks(store, data, piece),
    ...section('Found', findingsByPiece(data)[index]!.map((i) => findingText(store, i))),
    ...section('Notes', notes.map((note) => el('p', {}, note))),
    ...section('Depends on', reads.length > 0 ? [readsList(reads)] : []),
    ...(site === undefined ? [] : section('Written at', [el('p', { className: 'place' }, site)])),
  ]
}

function factsOf(data: PageData, index: number): [name: string, value: string][] {
  const { assembly, stock, plies, copies, grain, mass } = data.pieces[index]!
  const change = data.changes?.pieces.find(({ piece }) => piece === index)
  const state = data.progress?.states[data.progress.pieces[index]!]
  const card = data.stocks[stock]
  return [
    ['assembly', data.assemblies[assembly] ?? 'none'],
    ['stock', card ? `${card.id}, ${card.title}` : 'none'],
    ['thickness', `${((card?.thickness ?? 0) * plies).toFixed(2)} mm${plies > 1 ? ` in ${plies} plies` : ''}`],
    ...optional('to cut', copies * plies > 1 && `${copies > 1 ? `${copies} copies` : 'one'}${ply(plies)}`),
    ...optional('grain', grain !== undefined && `${Number(grain.toFixed(1))}° from its x axis`),
    ...optional('mass', mass !== undefined && massText(mass, copies)),
    ...optional('logbook', state ?? false),
    ...optional('change', change !== undefined && `${change.kind}: ${change.text}`),
  ]
}

function optional(name: string, value: string | false): [string, string][] {
  return value === false ? [] : [[name, value]]
}

function ply(plies: number): string {
  return plies > 1 ? ` of ${plural(plies, 'layer')}` : ''
}

export function massText(grams: number, copies: number): string {
  const digits = grams < 1 ? 3 : 2
  return `${grams.toFixed(digits)} g${copies > 1 ? ` for all ${copies}` : ''}`
}

function sheetLinks(store: Store, { sheets }: PageData, { places }: PagePiece): HTMLElement {
  const counts = new Map<number, number>()
  for (const [sheet] of places) counts.set(sheet, (counts.get(sheet) ?? 0) + 1)
  const links = [...counts].map(([sheet, n]) => {
    const link = el('button', { type: 'button', className: 'link' }, `${sheets[sheet]!.name}${n > 1 ? ` (${n})` : ''}`)
    link.addEventListener('click', () => store.choose({ page: 'sheets', sheet }))
    return link
  })
  return el('p', { className: 'links' }, el('span', {}, links.length > 0 ? 'on sheet ' : 'on no sheet yet'), ...links)
}

function findingText(store: Store, i: number): HTMLElement {
  const { data } = store.book
  const { severity, text, remedy } = data.findings[i]!
  const chosen = store.choice.found === i
  const there = el('button', { type: 'button', className: 'link', 'aria-pressed': String(chosen) }, `show ${i + 1} in the model`)
  there.addEventListener('click', () => store.choose({ found: i, piece: store.choice.piece }))
  return el(
    'div',
    { className: `found ${severity}${chosen ? ' here' : ''}` },
    el('p', {}, el('strong', {}, severity), ` ${text}`),
    el('p', { className: 'aside' }, remedy),
    isInModel(data, i) && el('p', {}, there),
  )
}

function section(title: string, children: HTMLElement[]): HTMLElement[] {
  return children.length > 0 ? [el('section', {}, el('h3', {}, title), ...children)] : []
}

/** Figures by where they come from: `scale`, `stock:folder.thickness`, `dimension:span`. */
function readsList(reads: readonly string[]): HTMLElement {
  return el(
    'ul',
    { className: 'reads' },
    ...reads.map((read) => {
      const [kind, name] = read.includes(':') ? [read.slice(0, read.indexOf(':')), read.slice(read.indexOf(':') + 1)] : ['', read]
      return el('li', {}, kind ? el('span', { className: 'aside' }, `${kind} `) : '', name!)
    }),
  )
}

/** Outline and openings as they lie on the sheet, fitted into the card. */
export function flatDrawing(piece: PagePiece): SVGElement {
  const loops = unpackLoops(piece)
  const { x, y, width, height } = spanOf(loops[0]!)
  const margin = 0.03 * Math.max(width, height)
  const box = [x - margin, -(y + height) - margin, width + 2 * margin, height + 2 * margin]
  return svg(
    'svg',
    { class: 'flat', viewBox: box.map((n) => n.toFixed(2)).join(' '), role: 'img', 'aria-label': `${piece.mark} on the flat` },
    svg('title', {}, `${width.toFixed(1)} × ${height.toFixed(1)} mm`),
    svg('path', { d: loops.map(pathOf).join(''), 'vector-effect': 'non-scaling-stroke', 'fill-rule': 'evenodd' }),
  )
}
