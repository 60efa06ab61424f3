import { remembered } from '../../memo/remember'
import type { Loop, Point } from '../../shape/point'
import type { NestPiece } from '../nest'
import { boundsOf, placeLoop, signedArea } from '../turn'
import { prepareGroup, prepareShape, type ShapeOptions, type Shape, type TurnedShape } from './shape'

/** Pieces made ready for the search; those that are alike share a shape. Ones with a label come in when asked for. */
export class Kinds {
  readonly shapes: Shape[] = []
  /** By piece, in the order given: its shape without a label. */
  readonly shapeOf: readonly number[]
  /** How many shapes the pieces have, without those that came in since. */
  readonly count: number
  /** By shape: places for its label about its middle. A shape that has its label offers none. */
  private readonly places: (readonly Loop[])[] = []
  private readonly withLabels = new Map<string, number>()
  private readonly options: ShapeOptions

  /** Openings that not even the smallest of the pieces could use are filled. */
  constructor(pieces: readonly NestPiece[], gap: number) {
    const leastOpening = pieces.reduce((least, { outline }) => Math.min(least, Math.abs(signedArea(outline))), Infinity)
    const options = { gap, slack: SLACK, growth: GROWTH, leastOpening }
    this.options = options
    const known = new Map<string, number>()
    this.shapeOf = pieces.map(({ outline, openings, turns, labels = [] }) => {
      const key = JSON.stringify([outline, openings, turns, labels])
      const found = known.get(key)
      if (found !== undefined) return found
      const input = () => JSON.stringify([options, outline, openings, turns])
      const shape = remembered('nesting shape', input, () => prepareShape(outline, openings, turns, options))
      const [mx, my] = shape.middle
      const places = labels.map((loop) => loop.map(([x, y]): Point => [x - mx, y - my]))
      const index = this.add(shape, places)
      known.set(key, index)
      return index
    })
    this.count = this.shapes.length
  }

  add(shape: Shape, places: readonly Loop[] = []): number {
    this.places.push(places)
    return this.shapes.push(shape) - 1
  }

  /** Several outlines that are laid as one. */
  addGroup(outlines: readonly Loop[], openings: readonly Loop[], turns: readonly number[]): number {
    const input = () => JSON.stringify(['group', this.options, outlines, openings, turns])
    return this.add(remembered('nesting shape', input, () => prepareGroup(outlines, openings, turns, this.options)))
  }

  placesOf(shape: number): readonly Loop[] {
    return this.places[shape]!
  }

  /** The shape together with the room for its label at one of the places. */
  labelled(shape: number, place: number): number {
    const key = `${shape} ${place}`
    let found = this.withLabels.get(key)
    if (found === undefined) {
      found = this.add(withLabel(this.shapes[shape]!, this.places[shape]![place]!))
      this.withLabels.set(key, found)
    }
    return found
  }
}

function withLabel(shape: Shape, label: Loop): Shape {
  const turned = shape.turned.map((one): TurnedShape => {
    const around = boundsOf(placeLoop(label, one.turn))
    return { ...one, box: union(one.box, around), reach: union(one.reach, around) }
  })
  return { ...shape, label, parts: () => [...shape.parts(), label], turned }
}

type Box = TurnedShape['box']

function union(a: Box, b: Box): Box {
  return {
    minX: Math.min(a.minX, b.minX),
    minY: Math.min(a.minY, b.minY),
    maxX: Math.max(a.maxX, b.maxX),
    maxY: Math.max(a.maxY, b.maxY),
  }
}

/** How far the search's outlines may stand off the true ones, mm: little against any gap that a knife needs. */
const SLACK = 0.1

/** Share of its area by which an outline may grow. */
const GROWTH = 0.01
