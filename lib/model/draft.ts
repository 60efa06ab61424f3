import type { Finding } from '../finding/finding'
import { type CallSite, callSite } from '../finding/site'
import { Length, lengthError, mm } from '../length/length'
import type { Point, Polyline, Region } from '../shape/point'
import type { Pose } from '../shape/pose'
import { add, radians, scale } from '../craft/space'
import { Path } from '../shape/path'
import { Shape } from '../shape/shape'
import type { Form } from './form'
import type { Partner } from './gluedTo'
import type { Fold, Line, LineKind, Score, Text } from './piece'

/** A point of the flat piece as the author writes it. */
export type At = readonly [x: Length, y: Length]

/** Works out openings once the outline and its slots are known, as a row of lightening holes does. */
export type OpeningMaker = (outline: Shape) => readonly Shape[]

export interface PieceOptions {
  /** Name of one of the model's stocks. */
  readonly stock: string
  readonly plies?: number
  /** How many alike are needed; each copy gets an id of its own on the sheets. */
  readonly copies?: number
  /** How the grain must run: along the piece's x, across it, at so many degrees from x, or any way. */
  readonly grain?: Grain
}

export type Grain = 'along' | 'across' | 'any' | number

/** Starts a piece. It is described step by step; every step gives a new piece and leaves the old one as it was. */
export function piece(options: PieceOptions): Draft {
  const { stock, plies = 1, copies = 1, grain = 'any' } = options
  if (typeof stock !== 'string') {
    throw lengthError(`a piece was given ${stock === undefined ? 'no stock' : describe(stock)}`, "name its card: piece({ stock: 'folder' })")
  }
  wholeNumber(plies, 1, 99, 'plies')
  wholeNumber(copies, 1, 9999, 'copies')
  return new Draft({
    stock,
    plies,
    copies,
    grain: grainDegrees(grain),
    body: undefined,
    added: [],
    cuts: [],
    slots: [],
    openings: [],
    scores: [],
    lines: [],
    texts: [],
    poses: [],
    form: undefined,
    layer: undefined,
    round: 1,
    glued: [],
    notes: [],
    findings: [],
    site: callSite(),
  })
}

/** What has been said of a piece so far, in millimetres. Cut out and named when its family is evaluated. */
export interface DraftState {
  readonly stock: string
  readonly plies: number
  readonly copies: number
  readonly grain: number | undefined
  readonly body: Region | undefined
  readonly added: readonly Region[]
  readonly cuts: readonly Region[]
  readonly slots: readonly Region[]
  readonly openings: readonly (Region | OpeningMaker)[]
  readonly scores: readonly Score[]
  readonly lines: readonly Line[]
  readonly texts: readonly Text[]
  /** Of each copy that has a place, in their order. */
  readonly poses: readonly Pose[]
  readonly form: Form | undefined
  /** Where it is one of several that lie on each other, such as the strips of a tyre: which run, and its number in it. */
  readonly layer: { readonly of: object; readonly number: number } | undefined
  /** How many stand round the axis of each place, as petals do. */
  readonly round: number
  /** What it is glued to. */
  readonly glued: readonly { readonly to: Partner; readonly site: CallSite }[]
  readonly notes: readonly string[]
  readonly findings: readonly Finding[]
  readonly site: CallSite
}

export class Draft {
  readonly state: DraftState

  constructor(state: DraftState) {
    this.state = state
    Object.freeze(this)
  }

  /** The edge to cut round. Holes in the shape become openings. */
  outline(shape: Shape): Draft {
    return this.#with({ body: regionOf(shape, 'outline') })
  }

  /** Card added to the outline: tabs, lugs. */
  add(...shapes: Shape[]): Draft {
    return this.#with({ added: [...this.state.added, ...shapes.map((shape) => regionOf(shape, 'add'))] })
  }

  /** Card taken away, at the edge or inside: notches, cut-outs. */
  cut(...shapes: Shape[]): Draft {
    return this.#with({ cuts: [...this.state.cuts, ...shapes.map((shape) => regionOf(shape, 'cut'))] })
  }

  /** Slots for other pieces, open at the edge or closed. One that misses the piece is an error. */
  slots(...shapes: Shape[]): Draft {
    return this.#with({ slots: [...this.state.slots, ...shapes.map((shape) => regionOf(shape, 'slots'))] })
  }

  /** Openings inside the outline, or a rule that makes them to suit it, such as `lightening`. */
  openings(...shapes: (Shape | OpeningMaker)[]): Draft {
    const more = shapes.map((shape) => (typeof shape === 'function' ? shape : regionOf(shape, 'openings')))
    return this.#with({ openings: [...this.state.openings, ...more] })
  }

  /** A line to score and fold towards the printed side, by `angle` degrees. */
  valley(from: At, to: At, angle = 90): Draft {
    return this.#score('valley', from, to, angle)
  }

  /** A line to score and fold away from the printed side, by `angle` degrees. */
  mountain(from: At, to: At, angle = 90): Draft {
    return this.#score('mountain', from, to, angle)
  }

  /** A centre or reference line. */
  datum(...points: At[]): Draft {
    return this.#line('datum', points.map(point), false)
  }

  /** Where the edge of another piece comes. */
  align(...points: At[]): Draft {
    return this.#line('align', points.map(point), false)
  }

  /** An area to be glued to another piece. */
  glue(shape: Shape): Draft {
    const lines = regionOf(shape, 'glue').map((loop): Line => ({ kind: 'glue', line: loop, closed: true }))
    return this.#with({ lines: [...this.state.lines, ...lines] })
  }

  /** Words on the piece, `size` the height of a capital. */
  text(words: string, at: At, { size, angle = 0 }: { size: Length; angle?: number }): Draft {
    const text: Text = { text: words, at: point(at), size: mm(size), angle }
    return this.#with({ texts: [...this.state.texts, text] })
  }

  /** Where it stands in the model; where there are copies, each of them in turn. */
  place(...poses: Pose[]): Draft {
    return this.#with({ poses: poses.flatMap((pose) => turnedRound(pose, this.state.round)) })
  }

  /**
   * Says what it is glued to, so that a gap is found: other parts of its station by their names, families or pieces of
   * which each copy of it touches one at least. `.gluedTo('PAN', floor)`.
   */
  gluedTo(...partners: Partner[]): Draft {
    const site = callSite()
    return this.#with({ glued: [...this.state.glued, ...partners.map((to) => ({ to, site }))] })
  }

  /** A point of the panel that the place is of, where the piece is folded; the largest panel where it is not said. */
  base(at: At): Draft {
    return this.#with({ form: { kind: 'folded', base: point(at) } })
  }

  /** A word to the builder, printed in the lists. */
  note(text: string): Draft {
    return this.#with({ notes: [...this.state.notes, text] })
  }

  plies(count: number): Draft {
    return this.#with({ plies: wholeNumber(count, 1, 99, 'plies') })
  }

  copies(count: number): Draft {
    return this.#with({ copies: wholeNumber(count, 1, 9999, 'copies') })
  }

  #score(fold: Fold, from: At, to: At, angle: number): Draft {
    if (!(angle > 0 && angle <= 180)) {
      throw lengthError(`a ${fold} of ${angle} degrees was asked for`, 'give an angle above 0 and up to 180')
    }
    const score: Score = { fold, line: [point(from), point(to)], angle }
    return this.#with({ scores: [...this.state.scores, score] })
  }

  #line(kind: LineKind, line: Polyline, closed: boolean): Draft {
    return this.#with({ lines: [...this.state.lines, { kind, line, closed }] })
  }

  #with(change: Partial<DraftState>): Draft {
    return new Draft({ ...this.state, ...change })
  }
}

/** Every piece of a record at the same place, as the strips of a tyre and its hub are. */
export function placed<T extends Readonly<Record<string, Draft>>>(made: T, ...poses: Pose[]): Record<keyof T, Draft> {
  return Object.fromEntries(Object.entries(made).map(([name, one]) => [name, one.place(...poses)])) as Record<keyof T, Draft>
}

/** So many poses round the axis of one, evenly. */
function turnedRound(pose: Pose, count: number): Pose[] {
  if (count === 1) return [pose]
  const { origin, right, up } = pose
  return Array.from({ length: count }, (_, i) => {
    const [c, s] = [Math.cos(radians((360 * i) / count)), Math.sin(radians((360 * i) / count))]
    return { origin, right: add(scale(right, c), scale(up, s)), up: add(scale(up, c), scale(right, -s)) }
  })
}

function regionOf(shape: Shape, word: string): Region {
  if (shape instanceof Shape) return shape.region
  if ((shape as unknown) instanceof Path) throw lengthError(`.${word}(…) was given a path that is not closed`, 'end it with .close()')
  throw lengthError(`.${word}(…) was given ${describe(shape)}, not a shape`, 'give it a shape, such as circle(bench.mm(4))')
}

function describe(value: unknown): string {
  if (value === undefined) return 'nothing'
  return typeof value === 'object' ? 'some other value' : `the ${typeof value} ${String(value)}`
}

function point(at: At): Point {
  return [mm(at[0]), mm(at[1])]
}

function grainDegrees(grain: Grain): number | undefined {
  if (grain === 'any') return undefined
  if (grain === 'along') return 0
  if (grain === 'across') return 90
  if (typeof grain === 'number' && Number.isFinite(grain)) return ((grain % 180) + 180) % 180
  throw lengthError(`the grain was given as ${String(grain)}`, "write 'along', 'across', 'any' or degrees from the piece's x")
}

function wholeNumber(value: number, least: number, most: number, word: string): number {
  if (Number.isInteger(value) && value >= least && value <= most) return value
  throw lengthError(`${word} was given as ${value}`, `give a whole number from ${least} to ${most}`)
}

