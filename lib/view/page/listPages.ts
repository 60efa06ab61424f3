import { isWithin } from '../../model/assemblyPath'
import type { FitState, PageData } from '../data'
import { el, fill, plural } from './dom'
import { isInModel, isMeant, placesOf } from './found'
import { type Tone, paintingOf } from './paint'
import { type Choice, type Colour, type PageName, type Store, whenShown } from './store'
import { findingChoice } from './tools'

/** What the build and the fit had to say, the worst first; the kind that is chosen. */
export function findingsPage(store: Store): HTMLElement {
  return listPage(store, 'findings', 'Findings', (data) => {
    const { findings, fit } = data
    const state = el('p', { className: 'aside', role: 'status' }, FIT_WORDS[fit])
    if (findings.length === 0) {
      const none = fit === 'under way' ? 'The build found nothing.' : 'Nothing was found. Have a look at the sheets before you cut.'
      return [el('p', { className: 'nothing' }, none), state]
    }
    const listed = findings.flatMap((finding, i) => (isMeant(finding, store.choice.finding) ? [i] : []))
    return [state, el('ol', { className: 'findings' }, ...listed.map((i) => findingEntry(store, i)))]
  }, { keys: ['book', 'finding'], top: findingChoice(store, 'all of them') })
}

const FIT_WORDS: Readonly<Record<FitState, string>> = {
  'under way': 'The fit is being looked at: clashes, gaps and loose pieces come in a moment.',
  known: 'Clashes, gaps and what else the fit has to say are among them.',
  none: 'The fit has not been looked at.',
}

function findingEntry(store: Store, i: number): HTMLElement {
  const { data } = store.book
  const { id, severity, text, remedy, pieces, subject, at, site } = data.findings[i]!
  const about = pieces[0]
  const seen = new Set<number>()
  const sheets = placesOf(data, data.findings[i]!).flatMap(({ piece }) => {
    const sheet = data.pieces[piece]!.places[0]?.[0]
    if (sheet === undefined || seen.has(sheet)) return []
    seen.add(sheet)
    return sheetLink(store, sheet, piece, i)
  })
  const there = el('button', { type: 'button', className: 'link' }, 'show in the model')
  there.addEventListener('click', () => store.choose({ page: 'model', piece: about, found: i }))
  return el(
    'li',
    { className: `found ${severity}`, value: i + 1 },
    el('p', {}, el('strong', {}, severity), ' ', ...(subject === undefined ? withMarks(store, i) : [`${subject}: ${text}`])),
    el('p', { className: 'aside' }, remedy),
    el(
      'p',
      { className: 'aside place' },
      el('span', {}, [site, at && `at ${at[0].toFixed(2)}, ${at[1].toFixed(2)} mm on the piece`, id].filter(Boolean).join(' · ')),
      isInModel(data, i) && there,
      ...sheets,
    ),
  )
}

/** The text of a finding, every mark in it a way to its piece; the one it is about stands before it if it is not in it. */
function withMarks(store: Store, i: number): (Node | string)[] {
  const { pieces: all, findings } = store.book.data
  const { text, pieces } = findings[i]!
  const links = new Map(pieces.map((piece) => [all[piece]!.mark, () => pieceLink(store, piece, i)]))
  const parts = text.split(WORDS)
  const [about] = links.keys()
  const first = about === undefined || parts.includes(about) ? [] : [links.get(about)!(), ': ']
  return [...first, ...parts.map((part) => links.get(part)?.() ?? part)]
}

/** Words and what is between them. */
const WORDS = /([\s,;:()“”]+)/

/** What is not as it was in the revision compared with. */
export function changesPage(store: Store): HTMLElement {
  return listPage(store, 'changes', 'Changes', (data) => {
    const { changes } = data
    if (!changes) {
      return [
        el(
          'p',
          { className: 'nothing' },
          'There is nothing to compare with: the sheets of this model are in no commit yet. Commit the folder out, and the next change shows here.',
        ),
      ]
    }
    const { pieces, gone, since } = changes
    const total = pieces.length + gone.length
    const kinds = [...new Set(pieces.map(({ kind }) => kind))]
    return [
      el('p', {}, total === 0 ? `All ${plural(data.pieces.length, 'piece')} are as in ${since}.` : `Since ${since}:`),
      ...kinds.map((kind) =>
        el(
          'section',
          {},
          el('h3', {}, `${kind} (${pieces.filter((change) => change.kind === kind).length})`),
          el(
            'ul',
            { className: 'rows' },
            ...pieces
              .filter((change) => change.kind === kind)
              .map(({ piece, text }) => el('li', {}, pieceLink(store, piece), el('span', {}, text))),
          ),
        ),
      ),
      ...(gone.length > 0 ? [el('section', {}, el('h3', {}, `gone (${gone.length})`), el('p', { className: 'marks' }, gone.join(', ')))] : []),
      ...(pieces.length > 0 ? [showLink(store, 'changes')] : []),
    ]
  })
}

/** How far the bench has come, by assembly. */
export function progressPage(store: Store): HTMLElement {
  return listPage(store, 'progress', 'Progress', (data) => {
    const { progress, pieces, assemblies } = data
    if (!progress) {
      return [
        el('p', { className: 'nothing' }, 'There is no logbook yet. It begins with the first piece you write down: cardwright log cut, and the marks.'),
      ]
    }
    const { tones, of } = paintingOf(data, 'progress')
    const rows = assemblies
      // As the command counts them: with all that is within.
      .map((path) => ({ path, own: pieces.flatMap(({ assembly }, n) => (isWithin(assemblies[assembly] ?? '', path) ? [n] : [])) }))
      .filter(({ own }) => own.length > 0)
    const all = pieces.map((_, n) => n)
    return [
      key(tones),
      el(
        'table',
        { className: 'progress' },
        el('tbody', {}, progressRow('the whole model', all, tones, of), ...rows.map(({ path, own }) => progressRow(path, own, tones, of))),
      ),
      showLink(store, 'progress'),
    ]
  })
}

function progressRow(name: string, own: readonly number[], tones: readonly Tone[], of: readonly number[]): HTMLElement {
  const counts = tones.map((_, state) => own.filter((n) => of[n] === state).length)
  const bar = el('div', { className: 'bar' })
  for (const [state, count] of counts.entries()) {
    if (count === 0) continue
    const part = el('span', { className: `pattern-${tones[state]!.pattern}`, title: `${tones[state]!.name}: ${count}` })
    part.style.backgroundColor = css(tones[state]!)
    part.style.flexGrow = String(count)
    bar.append(part)
  }
  const told = counts.flatMap((count, state) => (count > 0 && state > 0 ? [`${count} ${tones[state]!.name}`] : []))
  return el('tr', {}, el('th', { scope: 'row' }, name), el('td', {}, bar), el('td', { className: 'aside' }, told.join(', ') || `none of ${own.length}`))
}

function key(tones: readonly Tone[]): HTMLElement {
  return el(
    'ul',
    { className: 'key flat-key' },
    ...tones.map((tone) => {
      const swatch = el('span', { className: `swatch pattern-${tone.pattern}` })
      swatch.style.backgroundColor = css(tone)
      return el('li', {}, swatch, el('span', {}, tone.name))
    }),
  )
}

function css({ paint }: Tone): string {
  return `rgb(${paint.map((part) => Math.round(part * 255)).join(' ')})`
}

function listPage(
  store: Store,
  name: PageName,
  title: string,
  contents: (data: PageData) => HTMLElement[],
  { keys = ['book'], top }: ListOptions = {},
): HTMLElement {
  const list = el('div')
  const leaf = el('div', { className: 'leaf-of-text' }, el('h2', {}, title), top, list)
  whenShown(store, name, keys, () => fill(list, ...contents(store.book.data)))
  return el('section', { className: `page list-page ${name}-page`, 'aria-label': title }, leaf)
}

interface ListOptions {
  /** What it is written anew for. */
  readonly keys?: readonly (keyof Choice | 'book')[]
  /** Stays while the list under it changes. */
  readonly top?: HTMLElement
}

/** A mark that leads to the piece in the model, and to the place of what was found on it. */
function pieceLink(store: Store, piece: number, found?: number): HTMLElement {
  const link = el('button', { type: 'button', className: 'link mark' }, store.book.data.pieces[piece]!.mark)
  link.addEventListener('click', () => store.choose({ page: 'model', piece, found }))
  return link
}

function sheetLink(store: Store, sheet: number, piece: number, found: number): HTMLElement {
  const { sheets } = store.book.data
  const link = el('button', { type: 'button', className: 'link' }, `sheet ${sheets[sheet]!.name}`)
  link.addEventListener('click', () => store.choose({ page: 'sheets', sheet, found, piece }))
  return link
}

function showLink(store: Store, colour: Colour): HTMLElement {
  const link = el('button', { type: 'button' }, 'Show on the model')
  link.addEventListener('click', () => store.choose({ page: 'model', colour }))
  return el('p', {}, link)
}
