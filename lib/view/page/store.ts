import type { Book } from './book'
import { type FindingFilter, isMeant } from './found'

export const PAGES = ['model', 'sheets', 'findings', 'changes', 'progress'] as const
export type PageName = (typeof PAGES)[number]

export const COLOURS = ['card', 'assembly', 'findings', 'changes', 'progress'] as const
export type Colour = (typeof COLOURS)[number]

/** What the reader has chosen to see. */
export interface Choice {
  readonly page: PageName
  /** Index of the piece. */
  readonly piece: number | undefined
  /** Index of the finding whose place is shown; let go with the piece. */
  readonly found: number | undefined
  /** An enlarged sheet. */
  readonly sheet: number | undefined
  /** Pieces must belong to all of these to be drawn; empty asks for nothing. */
  readonly assembly: string
  readonly stock: string
  readonly state: string
  readonly finding: FindingFilter
  /** What is left out: a pencil line, or nothing at all. */
  readonly rest: 'pencil' | 'nothing'
  readonly colour: Colour
  /** Solids that stand, in build order, as a share. */
  readonly built: number
  /** 0 together, 1 apart. */
  readonly spread: number
  readonly axis: 'none' | 'aft' | 'starboard' | 'up'
  /** Place of the cut, a share of the model's size along the axis. */
  readonly place: number
  /** Keep what lies behind the cut, instead of what lies before it. */
  readonly other: boolean
}

export const AT_FIRST: Choice = {
  page: 'model',
  piece: undefined,
  found: undefined,
  sheet: undefined,
  assembly: '',
  stock: '',
  state: '',
  finding: '',
  rest: 'pencil',
  colour: 'card',
  built: 1,
  spread: 0,
  axis: 'none',
  place: 0.5,
  other: false,
}

export interface Store {
  readonly choice: Choice
  readonly book: Book
  choose(change: Partial<Choice>): void
  /** Other data: a model chosen, or the same built anew. */
  open(book: Book): void
  /** Called with what has changed; once for everything when data was opened. */
  on(listener: (changed: ReadonlySet<keyof Choice | 'book'>) => void): void
}

export function createStore(book: Book, first: Choice): Store {
  let choice = first
  let current = book
  const listeners: ((changed: ReadonlySet<keyof Choice | 'book'>) => void)[] = []
  const tell = (changed: ReadonlySet<keyof Choice | 'book'>) => {
    for (const listener of listeners) listener(changed)
  }
  return {
    get choice() {
      return choice
    },
    get book() {
      return current
    },
    choose(asked) {
      const change = 'piece' in asked && !('found' in asked) ? { ...asked, found: undefined } : asked
      const keys = (Object.keys(change) as (keyof Choice)[]).filter((key) => change[key] !== choice[key])
      if (keys.length === 0) return
      choice = { ...choice, ...change }
      tell(new Set(keys))
    },
    open(next) {
      choice = { ...choice, ...carried(choice, current, next) }
      current = next
      tell(new Set([...(Object.keys(choice) as (keyof Choice)[]), 'book']))
    },
    on: (listener) => void listeners.push(listener),
  }
}

/** Writes what depends on these anew when they change, but not before its page is turned to. */
export function whenShown(
  store: Store,
  page: PageName,
  keys: readonly (keyof Choice | 'book')[],
  write: () => void,
): void {
  let due = true
  const look = () => {
    if (!due || store.choice.page !== page) return
    due = false
    write()
  }
  store.on((changed) => {
    if (keys.some((key) => changed.has(key))) due = true
    look()
  })
  look()
}

/** What was chosen, in terms of the new data: the same mark, the same sheet; what is gone is let go. */
function carried(choice: Choice, before: Book, now: Book): Partial<Choice> {
  const mark = choice.piece === undefined ? undefined : before.data.pieces[choice.piece]?.mark
  const sheet = choice.sheet === undefined ? undefined : before.data.sheets[choice.sheet]?.name
  const said = choice.found === undefined ? undefined : before.data.findings[choice.found]?.text
  const known = (index: number) => (index < 0 ? undefined : index)
  return {
    piece: known(now.data.pieces.findIndex((piece) => piece.mark === mark)),
    found: known(now.data.findings.findIndex(({ text }) => text === said)),
    sheet: known(now.data.sheets.findIndex(({ name }) => name === sheet)),
    ...(!now.data.assemblies.includes(choice.assembly) && { assembly: '' }),
    ...(!now.data.stocks.some(({ id }) => id === choice.stock) && { stock: '' }),
    ...(!now.data.findings.some((finding) => isMeant(finding, choice.finding)) && { finding: '' }),
    ...(!now.data.progress?.states.includes(choice.state) && { state: '' }),
  }
}
