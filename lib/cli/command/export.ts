import { suggest } from '../../finding/nearest'
import { writeDrawing } from '../drawings'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import { type Standing, standModel } from '../standing'
import { UsageError } from '../usage'
import { openWorkshop } from '../workshop'

/** `cardwright export`: the built model as a file that other programs read, each piece by its mark. */
export async function exportModel(request: Request, manner: Manner): Promise<number> {
  const { as, assembly, file } = request.options
  if (!isFormat(as)) throw new UsageError(`--as: there is no format "${as}"`, suggest(as, FORMATS))
  const workshop = openWorkshop(request)
  const standing = standModel(workshop, request, manner)
  if (!standing) return EXIT.findings
  if (standing.findings.length > 0) {
    process.stderr.write(`${printProblems(standing.findings.map((finding) => ({ finding })), manner)}\n`)
  }
  const name = `${standing.model.name}${assembly === undefined ? '' : `-${assembly.replaceAll('/', '-')}`}.${as}`
  const bytes = await bytesOf(as, standing)
  process.stdout.write(`${writeDrawing(workshop, standing.model.name, file, name, bytes)}: ${standing.solids.length} pieces\n`)
  return EXIT.good
}

const FORMATS = ['glb', 'stl', '3mf'] as const

type Format = (typeof FORMATS)[number]

function isFormat(text: string): text is Format {
  return (FORMATS as readonly string[]).includes(text)
}

async function bytesOf(as: Format, { model, pieces, solids }: Standing): Promise<Uint8Array> {
  const title = `${model.title} ${model.scale.name}`
  switch (as) {
    case 'glb': {
      const { glbOf } = require('../../view/glb') as typeof import('../../view/glb')
      const of = (what: 'assembly' | 'stock') => new Map(pieces.map((piece) => [piece.mark, piece[what]]))
      return glbOf({ title, solids, assemblyOf: of('assembly'), stockOf: of('stock') })
    }
    case 'stl':
      return (require('../../view/stl') as typeof import('../../view/stl')).stlOf(title, solids)
    case '3mf':
      return (require('../../view/threeMf') as typeof import('../../view/threeMf')).threeMfOf(title, solids)
  }
}
