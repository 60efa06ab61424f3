import type { PageData, PageFinding, PagePlace, PageSheet } from '../data'
import { el, fill, plural, svg } from './dom'
import { pathOf } from './flat'
import { placesOf } from './found'
import type { Book } from './book'
import { type Store, whenShown } from './store'
import { unpackLoops } from './unpack'

/** All sheets side by side, or one of them large; findings are pinned where they are. */
export function sheetsPage(store: Store): HTMLElement {
  const page = el('section', { className: 'page sheets-page', 'aria-label': 'Sheets' })
  let before: number | undefined
  const write = () => {
    const { sheet } = store.choice
    const inside = page.contains(document.activeElement)
    fill(page, sheet === undefined ? gallery(store) : large(store, sheet))
    // Who got here by the keyboard goes on from where they were.
    const next = sheet === undefined ? page.querySelectorAll<HTMLElement>('.leaf')[before ?? 0] : page.querySelector<HTMLElement>('.bar button')
    if (inside) next?.focus()
    before = sheet
  }
  store.on((changed) => {
    if (changed.has('piece')) for (const one of page.querySelectorAll('.over')) mark(one, store.choice.piece)
  })
  whenShown(store, 'sheets', ['book', 'sheet'], write)
  return page
}

function gallery(store: Store): HTMLElement {
  const { data } = store.book
  if (data.sheets.length === 0) {
    return el('p', { className: 'nothing' }, 'No sheets yet: they are drawn by the first build without errors.')
  }
  return el(
    'div',
    { className: 'gallery' },
    ...data.sheets.map((sheet, i) => {
      const button = el('button', { type: 'button', className: 'leaf' }, drawn(store, i), caption(data, sheet, i))
      button.addEventListener('click', () => store.choose({ sheet: i }))
      return button
    }),
  )
}

function caption(data: PageData, { name, stock }: PageSheet, i: number): HTMLElement {
  const n = data.pieces.reduce((sum, { places }) => sum + places.filter(([sheet]) => sheet === i).length, 0)
  const found = pinsOn(data, i).length
  const card = data.stocks[stock]!
  return el(
    'span',
    { className: 'caption' },
    el('strong', {}, name),
    ` ${card.thickness.toFixed(2)} mm, ${plural(n, 'piece')}${found > 0 ? `, ${plural(found, 'pin')}` : ''}`,
  )
}

function large(store: Store, i: number): HTMLElement {
  const { data } = store.book
  const back = el('button', { type: 'button' }, 'All sheets')
  back.addEventListener('click', () => store.choose({ sheet: undefined }))
  const step = (by: number, text: string) => {
    const button = el('button', { type: 'button', disabled: data.sheets[i + by] === undefined }, text)
    button.addEventListener('click', () => store.choose({ sheet: i + by }))
    return button
  }
  const figure = drawn(store, i, true)
  const wide = el('input', { type: 'checkbox', id: 'wide' })
  wide.addEventListener('change', () => figure.classList.toggle('wide', wide.checked))
  const point = ({ target }: Event) => {
    const finding = (target as Element).closest('[data-finding]')?.getAttribute('data-finding')
    const piece = (target as Element).closest('[data-piece]')?.getAttribute('data-piece')
    const pinned = (target as Element).closest('[data-of]')?.getAttribute('data-of')
    if (finding) store.choose({ found: Number(finding), piece: Number(pinned) })
    else if (piece) store.choose({ piece: Number(piece) })
  }
  figure.addEventListener('click', point)
  figure.addEventListener('keydown', (event) => event.key === 'Enter' && point(event))
  return el(
    'div',
    { className: 'large' },
    el(
      'p',
      { className: 'line bar' },
      back,
      step(-1, 'The one before'),
      step(1, 'The next'),
      caption(data, data.sheets[i]!, i),
      el('span', { className: 'line' }, wide, el('label', { htmlFor: 'wide' }, 'closer')),
    ),
    chosenLine(store),
    figure,
  )
}

/** What is chosen, with the way back to the model. */
function chosenLine(store: Store): HTMLElement {
  const line = el('div', { className: 'chosen', 'aria-live': 'polite' })
  const write = () => {
    const { data } = store.book
    const piece = data.pieces[store.choice.piece ?? -1]
    const finding = data.findings[store.choice.found ?? -1]
    if (!piece) return fill(line, el('p', { className: 'aside' }, 'Click a piece for its mark, a pin for what was found there.'))
    const there = el('button', { type: 'button', className: 'link' }, 'see it in the model')
    there.addEventListener('click', () => store.choose({ page: 'model' }))
    fill(
      line,
      el('p', { className: 'line' }, el('strong', {}, piece.mark), ` ${data.assemblies[piece.assembly] ?? ''} `, there),
      finding && el('div', { className: `found ${finding.severity}` }, el('p', {}, el('strong', {}, finding.severity), ` ${finding.text}`), el('p', { className: 'aside' }, finding.remedy)),
    )
  }
  store.on((changed) => line.isConnected && (changed.has('piece') || changed.has('found')) && write())
  write()
  return line
}

/** The sheet's drawing with the outlines of its pieces over it, to point at, and its pins. */
function drawn(store: Store, i: number, withPieces = false): HTMLElement {
  const { data } = store.book
  const { width, height } = data.sheets[i]!
  const over = svg('svg', { class: 'over', viewBox: `0 0 ${width} ${height}`, 'aria-hidden': withPieces ? undefined : 'true' })
  for (const [piece, { places }] of data.pieces.entries()) {
    const here = places.filter(([sheet]) => sheet === i)
    if (here.length === 0) continue
    const d = unpackLoops(data.pieces[piece]!).slice(0, 1).map(pathOf).join('')
    for (const place of here) {
      const outline = svg('path', { d, transform: transformOf(place, height), 'data-piece': piece })
      if (withPieces) outline.append(svg('title', {}, data.pieces[piece]!.mark))
      over.append(outline)
    }
  }
  for (const { at: [x, y], n, piece, finding } of pinsOn(data, i)) {
    const { severity, text } = finding
    const words = withPieces ? { 'data-finding': n, 'data-of': piece, tabindex: 0, role: 'button', 'aria-label': `${severity} ${n + 1}: ${text}` } : {}
    const pin = svg('g', { class: `pin ${severity}`, transform: `translate(${x.toFixed(2)} ${y.toFixed(2)})`, ...words })
    pin.append(
      svg(
        'g',
        { class: 'head' },
        svg('path', { d: 'M0 0L-2.6 -5.2A3.6 3.6 0 1 1 2.6 -5.2Z' }),
        svg('text', { y: '-6.4', 'text-anchor': 'middle' }, String(n + 1)),
        svg('title', {}, `${severity}: ${text}`),
      ),
    )
    over.append(pin)
  }
  mark(over, store.choice.piece)
  const figure = el('span', { className: 'sheet' }, imageOf(store.book, i), over)
  figure.style.aspectRatio = `${width} / ${height}`
  return figure
}

/** A drawing that has not changed keeps its image, which is then not asked for again; lazy, so that only those seen are. */
const images = new Map<string, HTMLImageElement>()

function imageOf({ data, sheetAddress }: Book, i: number): HTMLImageElement {
  const { name, width, height, digest } = data.sheets[i]!
  const key = `${data.name}/${name}`
  const known = images.get(key)
  if (known?.dataset['digest'] === digest) return known
  const image = el('img', { alt: `Sheet ${name}`, loading: 'lazy', width, height, 'data-digest': digest })
  images.set(key, image)
  void sheetAddress(name).then((address) => (image.src = address))
  return image
}

function mark(over: Element, piece: number | undefined): void {
  for (const outline of over.querySelectorAll('[data-piece]')) {
    outline.classList.toggle('here', outline.getAttribute('data-piece') === String(piece))
  }
}

/** Outlines are drawn with y down already, so they are turned the other way round. */
function transformOf([, x, y, turn]: PagePlace, height: number): string {
  return `translate(${x.toFixed(3)} ${(height - y).toFixed(3)}) rotate(${-turn})`
}

interface Pin {
  /** On the sheet, y down. */
  readonly at: readonly [number, number]
  /** Index of the finding. */
  readonly n: number
  readonly piece: number
  readonly finding: PageFinding
}

/** Each finding once for each piece that it is about, where the first copy of it on this sheet is cut. */
function pinsOn(data: PageData, i: number): Pin[] {
  const { sheets, pieces, findings } = data
  return findings.flatMap((finding, n) =>
    placesOf(data, finding).flatMap(({ piece, at: [u, v] }): Pin[] => {
      const place = pieces[piece]!.places.find(([sheet]) => sheet === i)
      if (!place) return []
      const [, x, y, turn] = place
      const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)]
      return [{ at: [x + u * cos - v * sin, sheets[i]!.height - (y + u * sin + v * cos)], n, piece, finding }]
    }),
  )
}
