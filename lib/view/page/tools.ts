import type { PageData, PagePiece } from '../data'
import { el, fill } from './dom'
import { filtersFor } from './found'
import { paintingOf } from './paint'
import { AT_FIRST, type Choice, COLOURS, type Colour, type Store } from './store'

/** What lies beside the model: find, choose what is drawn, colours, taking apart, cutting. */
export function tools(store: Store): HTMLElement {
  return el(
    'div',
    { className: 'tools' },
    finder(store),
    group('Draw only', ...filters(store)),
    group('Colour by', colours(store)),
    group('Take apart', ...apart(store)),
    group('Cut open', ...cutting(store)),
  )
}

function group(title: string, ...children: HTMLElement[]): HTMLElement {
  return el('fieldset', {}, el('legend', {}, title), ...children)
}

/** Most marks listed at a time. */
const LISTED = 8

/** Type part of a mark: arrow keys go through what fits, Enter chooses. */
function finder(store: Store): HTMLElement {
  const list = el('ul', { id: 'found-marks', role: 'listbox', 'aria-label': 'Marks', hidden: true })
  const input = el('input', {
    type: 'search',
    id: 'find',
    placeholder: 'a mark, such as ' + (store.book.data.pieces[0]?.mark ?? 'WR-P07'),
    autocomplete: 'off',
    spellcheck: false,
    role: 'combobox',
    'aria-expanded': 'false',
    'aria-controls': 'found-marks',
  })
  let hits: number[] = []
  let at = 0
  const show = () => {
    hits = input.value.trim() === '' ? [] : matches(store.book.data, input.value).slice(0, LISTED)
    at = Math.min(at, Math.max(0, hits.length - 1))
    const none = input.value.trim() !== '' && hits.length === 0
    list.hidden = hits.length === 0 && !none
    input.setAttribute('aria-expanded', String(hits.length > 0))
    if (hits.length > 0) input.setAttribute('aria-activedescendant', `found-${at}`)
    else input.removeAttribute('aria-activedescendant')
    fill(list, ...(none ? [el('li', { className: 'aside' }, 'no piece has this in its mark')] : hits.map(item)))
  }
  const item = (piece: number, i: number) => {
    const { mark, assembly } = store.book.data.pieces[piece]!
    const entry = el('li', { id: `found-${i}`, role: 'option', 'aria-selected': String(i === at) }, mark)
    entry.append(el('span', { className: 'aside' }, ` ${store.book.data.assemblies[assembly] ?? ''}`))
    entry.addEventListener('pointerdown', (event) => {
      event.preventDefault()
      take(piece)
    })
    return entry
  }
  const take = (piece: number) => {
    input.value = store.book.data.pieces[piece]!.mark
    store.choose({ piece })
    hits = []
    list.hidden = true
    input.setAttribute('aria-expanded', 'false')
  }
  input.addEventListener('input', () => {
    at = 0
    show()
  })
  input.addEventListener('focus', () => input.select())
  input.addEventListener('blur', () => (list.hidden = true))
  input.addEventListener('keydown', (event) => {
    if (event.key === 'ArrowDown') at = Math.min(at + 1, hits.length - 1)
    else if (event.key === 'ArrowUp') at = Math.max(at - 1, 0)
    else if (event.key === 'Enter' && hits.length > 0) return take(hits[at]!)
    else if (event.key === 'Escape') {
      // The first puts the text away, the next lets the field go.
      if (input.value === '') return input.blur()
      input.value = ''
    }
    else return
    event.preventDefault()
    show()
  })
  return el('div', { className: 'finder' }, el('label', { htmlFor: 'find' }, 'Find a mark'), input, list)
}

/** Pieces whose mark has the text in it: those that begin with it first. */
function matches({ pieces }: PageData, text: string): number[] {
  const wanted = text.trim().toLowerCase()
  const places = pieces.map(({ mark }, i) => ({ i, place: mark.toLowerCase().indexOf(wanted) }))
  return places
    .filter(({ place }) => place >= 0)
    .toSorted((a, b) => Number(a.place > 0) - Number(b.place > 0) || a.i - b.i)
    .map(({ i }) => i)
}

function filters(store: Store): HTMLElement[] {
  const { data } = store.book
  const rows = [
    choice(store, 'assembly', 'Assembly', () => [
      ['', 'all'],
      ...store.book.data.assemblies.map((path): [string, string] => [path, indented(path)]),
    ]),
    choice(store, 'stock', 'Stock', () => [
      ['', 'all'],
      ...store.book.data.stocks.map(({ id, title }): [string, string] => [id, `${id}, ${title}`]),
    ]),
    choice(store, 'state', 'Logbook', () => [
      ['', data.progress ? 'any state' : 'no logbook'],
      ...(store.book.data.progress?.states ?? []).map((state): [string, string] => [state, state]),
    ]),
    findingChoice(store, 'with or without'),
  ]
  const rest = el('input', { type: 'checkbox', id: 'rest', checked: store.choice.rest === 'pencil' })
  rest.addEventListener('change', () => store.choose({ rest: rest.checked ? 'pencil' : 'nothing' }))
  const reset = el('button', { type: 'button', className: 'link' }, 'draw all')
  reset.addEventListener('click', () => {
    const { assembly, stock, state, finding } = AT_FIRST
    store.choose({ assembly, stock, state, finding })
  })
  return [
    ...rows,
    el('p', { className: 'line' }, rest, el('label', { htmlFor: 'rest' }, 'rest in pencil'), reset),
  ]
}

/** The same wherever findings are chosen from: on the model, and in their list. */
export function findingChoice(store: Store, all: string): HTMLElement {
  return choice(store, 'finding', 'Findings', () => [['', store.book.data.findings.length > 0 ? all : 'none'], ...filtersFor(store.book.data)])
}

function indented(path: string): string {
  const names = path.split('/')
  return `${'  '.repeat(names.length - 1)}${names.at(-1)!}`
}

function choice(
  store: Store,
  key: 'assembly' | 'stock' | 'state' | 'finding',
  label: string,
  options: () => [value: string, text: string][],
): HTMLElement {
  const select = el('select', { id: `only-${key}-${++made}` })
  const write = () => {
    fill(select, ...options().map(([value, text]) => el('option', { value }, text)))
    select.value = store.choice[key]
    select.disabled = select.options.length < 2
  }
  select.addEventListener('change', () => store.choose({ [key]: select.value } as Partial<Choice>))
  store.on((changed) => (changed.has('book') || changed.has(key)) && write())
  write()
  return el('p', { className: 'line' }, el('label', { htmlFor: select.id }, label), select)
}

/** One kind of choice may be on several pages. */
let made = 0

const COLOUR_NAMES: Readonly<Record<Colour, string>> = {
  card: 'the card itself',
  assembly: 'assembly',
  findings: 'findings',
  changes: 'changes',
  progress: 'logbook',
}

/** The choice, and the key to it with a count each. */
function colours(store: Store): HTMLElement {
  const select = el('select', { id: 'colour', 'aria-label': 'Colour by' })
  const key = el('ul', { className: 'key', 'aria-label': 'Key to the colours' })
  const write = () => {
    const { data } = store.book
    const known = COLOURS.filter((colour) => colour !== 'changes' || data.changes).filter(
      (colour) => colour !== 'progress' || data.progress,
    )
    fill(select, ...known.map((value) => el('option', { value }, COLOUR_NAMES[value])))
    select.value = store.choice.colour
    const { tones, of } = paintingOf(data, store.choice.colour)
    const rows = tones.map(({ name, paint, pattern }, i) => {
      const swatch = el('span', { className: `swatch pattern-${pattern}` })
      swatch.style.backgroundColor = `rgb(${paint.map((part) => Math.round(part * 255)).join(' ')})`
      const count = of.filter((tone) => tone === i).length
      return el('li', { title: name }, swatch, el('span', { className: 'name' }, name), el('span', { className: 'count' }, String(count)))
    })
    fill(key, ...rows)
  }
  select.addEventListener('change', () => store.choose({ colour: select.value as Colour }))
  store.on((changed) => (changed.has('book') || changed.has('colour')) && write())
  write()
  return el('div', {}, el('p', { className: 'line' }, select), key)
}

/** Along the order in which the model is built: piece by piece, or by families of an assembly with the buttons. */
function apart(store: Store): HTMLElement[] {
  const built = slider(store, 'built', 'Built up to')
  const input = built.querySelector('input')!
  const spread = slider(store, 'spread', 'Apart by')
  const told = el('p', { className: 'aside told', 'aria-live': 'polite' })
  const standing = () => store.book.data.pieces.filter(({ solids }) => solids)
  const count = () => Math.round(store.choice.built * standing().length)
  const go = (n: number) => store.choose({ built: n / (standing().length || 1) })
  const back = el('button', { type: 'button' }, 'a step back')
  const on = el('button', { type: 'button' }, 'a step on')
  back.addEventListener('click', () => go(stepEnds(standing()).findLast((end) => end < count()) ?? 0))
  on.addEventListener('click', () => go(stepEnds(standing()).find((end) => end > count()) ?? standing().length))
  const write = () => {
    const pieces = standing()
    const n = count()
    const last = pieces[n - 1]
    // One press of an arrow key is one piece.
    input.step = String(1 / (pieces.length || 1))
    input.value = String(store.choice.built)
    back.disabled = n === 0
    on.disabled = n === pieces.length
    const steps = stepEnds(pieces)
    const step = steps.findIndex((end) => end >= n) + 1
    const every = n === 1 ? 'the one piece' : `all ${n} pieces that have a place`
    const all = n === pieces.length ? every : `${n} of ${pieces.length}`
    fill(
      told,
      el('span', {}, n === 0 ? 'nothing yet' : all),
      last && el('span', {}, `step ${step} of ${steps.length}: ${last.family}, ${store.book.data.assemblies[last.assembly] || 'no assembly'}`),
    )
  }
  store.on((changed) => (changed.has('built') || changed.has('book')) && write())
  write()
  return [built, told, el('p', { className: 'line steps' }, back, on), spread]
}

/** How many pieces stand after each step: a family of an assembly. */
function stepEnds(pieces: readonly PagePiece[]): number[] {
  return pieces.flatMap(({ family, assembly }, i) => {
    const next = pieces[i + 1]
    return next?.family === family && next.assembly === assembly ? [] : [i + 1]
  })
}

function cutting(store: Store): HTMLElement[] {
  const axis = el('select', { id: 'axis' })
  fill(axis, ...Object.entries(AXES).map(([value, text]) => el('option', { value }, text)))
  axis.addEventListener('change', () => store.choose({ axis: axis.value as Choice['axis'] }))
  const other = el('input', { type: 'checkbox', id: 'other' })
  other.addEventListener('change', () => store.choose({ other: other.checked }))
  const place = slider(store, 'place', 'At')
  const write = () => {
    axis.value = store.choice.axis
    other.checked = store.choice.other
    for (const input of [other, ...place.querySelectorAll('input')]) input.disabled = store.choice.axis === 'none'
  }
  store.on((changed) => (changed.has('axis') || changed.has('other')) && write())
  write()
  return [
    el('p', { className: 'line' }, el('label', { htmlFor: 'axis' }, 'Across'), axis),
    place,
    el('p', { className: 'line' }, other, el('label', { htmlFor: 'other' }, 'keep the other half')),
  ]
}

const AXES: Readonly<Record<Choice['axis'], string>> = {
  none: 'not cut',
  aft: 'the length (frames)',
  starboard: 'the beam (profile)',
  up: 'the height (plan)',
}

function slider(store: Store, key: 'built' | 'spread' | 'place', label: string): HTMLElement {
  const input = el('input', { type: 'range', id: `set-${key}`, min: '0', max: '1', step: '0.001' })
  input.value = String(store.choice[key])
  input.addEventListener('input', () => store.choose({ [key]: Number(input.value) } as Partial<Choice>))
  store.on((changed) => changed.has(key) && (input.value = String(store.choice[key])))
  return el('p', { className: 'line' }, el('label', { htmlFor: input.id }, label), input)
}
