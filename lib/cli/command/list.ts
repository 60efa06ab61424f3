import { compareText } from '../../finding/finding'
import type { Model } from '../../model/model'
import { keepStdoutClean } from '../console'
import { evaluateAll, tell } from '../evaluated'
import type { Request } from '../parse'
import { type Manner, plural } from '../print'
import { openWorkshop, within } from '../workshop'

/** `cardwright list`: what models there are and what is in them. */
export async function list(request: Request, manner: Manner): Promise<number> {
  if (request.options.json) keepStdoutClean()
  const workshop = openWorkshop(request)
  const { made, problems } = evaluateAll(workshop)
  const rows = made.map(({ model, file }) => rowOf(model, within(workshop.root, file.file)))
  return tell({ command: 'list', problems, data: () => rows, text: () => rows.map(textOf).join('') }, request.options.json, manner)
}

interface Row {
  readonly name: string
  readonly title: string
  readonly scale: string
  readonly file: string
  readonly pieces: number
  readonly families: readonly { readonly family: string; readonly pieces: number }[]
  readonly stocks: readonly { readonly stock: string; readonly thickness: number; readonly pieces: number }[]
}

function rowOf(model: Model, file: string): Row {
  const cut = model.pieces.map(({ family, stock, copies, plies }) => ({ family, stock, n: copies * plies }))
  return {
    name: model.name,
    title: model.title,
    scale: model.scale.name,
    file,
    pieces: cut.reduce((sum, { n }) => sum + n, 0),
    families: tally(cut.map(({ family, n }) => [family, n])).map(([family, pieces]) => ({ family, pieces })),
    stocks: tally(cut.map(({ stock, n }) => [stock, n])).map(([stock, pieces]) => ({
      stock,
      thickness: model.stocks.get(stock)!.thickness.value,
      pieces,
    })),
  }
}

function tally(counts: readonly (readonly [name: string, n: number])[]): [name: string, n: number][] {
  const sums = new Map<string, number>()
  for (const [name, n] of counts) sums.set(name, (sums.get(name) ?? 0) + n)
  return [...sums].toSorted(([a], [b]) => compareText(a, b))
}

function textOf({ name, title, scale, file, pieces, families, stocks }: Row): string {
  const inFamilies = families.map(({ family, pieces: n }) => `${family} ${n}`)
  const inStocks = stocks.map(({ stock, pieces: n, thickness }) => `${stock} ${n} (${thickness.toFixed(2)} mm)`)
  return [
    `${name}: ${title}, ${scale}, ${plural(pieces, 'piece')} (${file})`,
    `  families: ${inFamilies.join(', ')}`,
    `  stocks: ${inStocks.join(', ')}`,
    '',
  ].join('\n')
}
