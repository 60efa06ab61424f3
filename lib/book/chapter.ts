import { thicknessOf } from '../fit/solid'
import type { Relation } from '../model/relation'
import type { Manifest, ManifestPiece } from '../revision/manifest'
import type { Drawing } from '../sheet/drawing'
import { cardsOf } from '../estimate/estimate'
import { sheetsOf } from '../estimate/partsList'
import type { Block, Cell, CellPicture, Chapter } from './book'
import { type AssemblySize, checksOf } from './checks'

export interface ChapterInput {
  readonly manifest: Manifest
  readonly assembly: string
  /** Pieces of the assembly itself, without those of assemblies within it. */
  readonly pieces: readonly ManifestPiece[]
  /** Assemblies within it, which are finished by then. */
  readonly parts: readonly string[]
  readonly drawings: readonly { readonly drawing: Drawing; readonly caption: string }[]
  /** Breadth, length and height of what is built, where its pieces have places. */
  readonly size?: AssemblySize
  /** Hours it may take: likely, from, to. */
  readonly hours: readonly [number, number, number]
}

/** All that is done at the bench for one assembly. */
export function assemblyChapter(input: ChapterInput): Chapter {
  const { manifest, assembly, pieces, parts, drawings, hours } = input
  const [likely, low, high] = hours.map((value) => value.toFixed(1))
  const cards = pieces.reduce((sum, piece) => sum + cardsOf(piece), 0)
  const about = [
    ...(cards > 0 ? [`${cards} pieces of card to cut, about ${likely} h (${low} to ${high}), an estimate.`] : []),
    ...(parts.length > 0 ? [`Brings together ${parts.map((part) => part.slice(assembly.length + 1)).join(', ')}.`] : []),
  ]
  return {
    title: assembly,
    assembly,
    blocks: [
      ...about.map((text): Block => ({ kind: 'text', text })),
      ...drawings.map((one): Block => ({ kind: 'drawing', ...one })),
      ...pieceTable(pieces, manifest),
      ...cutting(pieces),
      ...folds(pieces),
      ...laminating(pieces, manifest),
      ...drying(pieces),
      ...joining(pieces, manifest.relations),
      ...notesOf(pieces),
      ...checksOf(input),
      { kind: 'steps', items: [`${assembly} is finished, dry and checked`] },
    ],
  }
}

function pieceTable(pieces: readonly ManifestPiece[], { stocks }: Manifest): Block[] {
  if (pieces.length === 0) return []
  const known = new Map(stocks.map((stock) => [stock.id, stock]))
  return [
    { kind: 'heading', text: 'Pieces' },
    {
      kind: 'table',
      columns: [
        { name: 'mark', share: 2.2 },
        { name: '', share: 2.6 },
        { name: 'card', share: 2 },
        { name: 'plies', share: 0.8 },
        { name: 'count', share: 0.8 },
        { name: 'sheet', share: 2.4 },
        { name: 'cut', share: 0.6 },
        { name: 'fitted', share: 0.8 },
      ],
      rows: pieces.map((piece): Cell[] => [
        piece.mark,
        { picture: pictureOf(piece) },
        `${piece.stock} ${Number(known.get(piece.stock)!.thickness.value.toFixed(2))} mm`,
        String(piece.plies),
        String(cardsOf(piece)),
        sheetsOf(piece) || 'no place yet',
        { box: true },
        { box: true },
      ]),
    },
  ]
}

function pictureOf({ outline, openings, scores }: ManifestPiece): CellPicture {
  const folded = (fold: 'valley' | 'mountain') => scores.flatMap((score) => (score.fold === fold ? [score.line] : []))
  return { cuts: [outline, ...openings.map(({ loop }) => loop)], valleys: folded('valley'), mountains: folded('mountain') }
}

function cutting(pieces: readonly ManifestPiece[]): Block[] {
  const open = pieces.filter(({ openings }) => openings.some(({ kind }) => kind === 'opening'))
  const slotted = pieces.filter(({ openings }) => openings.some(({ kind }) => kind === 'slot'))
  const grained = pieces.filter(({ grain }) => grain !== undefined)
  const items = [
    ...(open.length > 0 ? [`Openings before the outline: ${marks(open)}.`] : []),
    ...(slotted.length > 0 ? [`Try the slots with a scrap of the card that goes in: ${marks(slotted)}.`] : []),
    ...(grained.length > 0 ? [`The grain matters, keep to the arrow if you cut one again: ${marks(grained)}.`] : []),
  ]
  return items.length > 0 ? [{ kind: 'heading', text: 'Cutting' }, { kind: 'steps', items }] : []
}

function folds(pieces: readonly ManifestPiece[]): Block[] {
  const folded = pieces.filter(({ scores }) => scores.length > 0)
  if (folded.length === 0) return []
  const angles = (piece: ManifestPiece, fold: 'valley' | 'mountain') => {
    const counts = new Map<string, number>()
    for (const score of piece.scores) {
      if (score.fold !== fold) continue
      const angle = `${Number(score.angle.toFixed(0))}°`
      counts.set(angle, (counts.get(angle) ?? 0) + 1)
    }
    return [...counts].map(([angle, count]) => `${count} × ${angle}`).join(', ') || '–'
  }
  return [
    { kind: 'heading', text: 'Folds' },
    {
      kind: 'table',
      columns: [
        { name: 'mark', share: 2.5 },
        { name: 'valley: closes towards the print', share: 4 },
        { name: 'mountain: away from it', share: 4 },
        { name: '', share: 0.6 },
      ],
      rows: alike(folded, (piece) => `${angles(piece, 'valley')}|${angles(piece, 'mountain')}`).map((group): Cell[] => [
        marks(group),
        angles(group[0]!, 'valley'),
        angles(group[0]!, 'mountain'),
        { box: true },
      ]),
    },
  ]
}

function laminating(pieces: readonly ManifestPiece[], { stocks }: Manifest): Block[] {
  const laminated = pieces.filter(({ plies }) => plies > 1)
  if (laminated.length === 0) return []
  const known = new Map(stocks.map((stock) => [stock.id, stock]))
  return [
    { kind: 'heading', text: 'Laminating' },
    {
      kind: 'table',
      columns: [
        { name: 'mark', share: 3 },
        { name: 'plies', share: 1 },
        { name: 'card', share: 2 },
        { name: 'finished thickness', share: 2 },
        { name: 'measured', share: 1.6 },
        { name: '', share: 0.6 },
      ],
      rows: alike(laminated, ({ plies, stock }) => `${plies} ${stock}`).map((group): Cell[] => [
        marks(group),
        String(group[0]!.plies),
        group[0]!.stock,
        `${thicknessOf(group[0]!, known.get(group[0]!.stock)!).toFixed(2)} mm`,
        { blank: true },
        { box: true },
      ]),
    },
  ]
}

function drying(pieces: readonly ManifestPiece[]): Block[] {
  const laminated = pieces.filter(({ plies }) => plies > 1)
  const round = pieces.filter(({ form }) => form?.kind === 'turned' || form?.kind === 'curved')
  const items = [
    ...(laminated.length > 0 ? [`Laminations dry flat, between boards under a weight, as long as the glue’s maker says: ${marks(laminated)}.`] : []),
    ...(round.length > 0 ? [`Rolled and curled pieces dry on their former or under a band before they are fitted: ${marks(round)}.`] : []),
  ]
  return items.length > 0 ? [{ kind: 'heading', text: 'Let dry' }, { kind: 'steps', items }] : []
}

type Meeting = readonly [mark: string, other: string, how: 'slot' | 'glue' | 'edge']

/** Which pieces meet which, said from either side. */
function meetingsOf(relations: readonly Relation[]): Meeting[] {
  return relations.flatMap((relation): Meeting[] => {
    switch (relation.kind) {
      case 'join':
        return both([relation.a], [relation.b], relation.how)
      case 'bond':
        return both(relation.a, relation.b, 'glue')
      case 'seam':
        return both([relation.a], [relation.b], 'edge')
      default:
        return []
    }
  })
}

function both(a: readonly string[], b: readonly string[], how: Meeting[2]): Meeting[] {
  return a.flatMap((one) => b.flatMap((other): Meeting[] => [[one, other, how], [other, one, how]]))
}

/** What is slid together and what is glued, by family, since a family goes together in one go. */
function joining(pieces: readonly ManifestPiece[], relations: readonly Relation[]): Block[] {
  const own = new Map(pieces.map((piece) => [piece.mark, piece]))
  const meetings = new Map<string, Set<string>>()
  for (const [mine, other, how] of meetingsOf(relations)) {
    const piece = own.get(mine)
    if (!piece) continue
    const key = `${piece.family} ${how}`
    meetings.set(key, (meetings.get(key) ?? new Set()).add(familyOf(other)))
  }
  const items = [...meetings].map(([key, others]) => {
    const [family, how] = key.split(' ') as [string, Meeting[2]]
    const list = [...others].filter((other) => other !== family || others.size === 1).join(', ')
    if (how === 'glue' && list === family) return `Pieces of ${family} are glued to one another.`
    if (how === 'edge') return list === family ? `${family} is butted edge to edge.` : `${family} is butted edge to edge with ${list}.`
    return how === 'slot' ? `${family} slides into ${list}: dry first, then with glue.` : `${family} is glued to ${list}.`
  })
  return items.length > 0 ? [{ kind: 'heading', text: 'Joining' }, { kind: 'steps', items }] : []
}

function notesOf(pieces: readonly ManifestPiece[]): Block[] {
  const noted = new Map<string, ManifestPiece[]>()
  for (const piece of pieces) for (const note of piece.notes) noted.set(note, [...(noted.get(note) ?? []), piece])
  if (noted.size === 0) return []
  return [
    { kind: 'heading', text: 'Notes' },
    { kind: 'steps', items: [...noted].map(([note, group]) => `${marks(group)}: ${note}`) },
  ]
}

function alike(pieces: readonly ManifestPiece[], key: (piece: ManifestPiece) => string): ManifestPiece[][] {
  const groups = new Map<string, ManifestPiece[]>()
  for (const piece of pieces) groups.set(`${piece.family} ${key(piece)}`, [...(groups.get(`${piece.family} ${key(piece)}`) ?? []), piece])
  return [...groups.values()]
}

function familyOf(mark: string): string {
  return mark.split('-', 1)[0]!
}

/** Runs of neighbouring marks as `WR-P01 … WR-P15`. */
function marks(pieces: readonly ManifestPiece[]): string {
  const families = new Map<string, string[]>()
  for (const { family, mark } of pieces) families.set(family, [...(families.get(family) ?? []), mark])
  return [...families.values()]
    .map((list) => (list.length > 3 ? `${list[0]} … ${list.at(-1)} (${list.length})` : list.join(', ')))
    .join('; ')
}
