import { join } from 'node:path'
import { bookOf } from '../../book/make'
import { bookHtml } from '../../book/html'
import { bookPdf } from '../../book/pdf'
import type { PageSize } from '../../book/layout'
import { placeFindings } from '../../fit/place'
import type { Solid } from '../../fit/solid'
import { standAll } from '../../fit/standAll'
import { ratesOf } from '../../revision/rate'
import type { Manifest } from '../../revision/manifest'
import { sheetSize } from '../../stock/sheetSize'
import { builtManifest, builtModels, outFolder } from '../built'
import { readProjectLogbook } from '../logbook'
import { EXIT } from '../options'
import type { Request } from '../parse'
import type { Manner } from '../print'
import { chooseModels, findProject } from '../project'
import { replaceFile } from '../replaceFile'
import { asked, UsageError } from '../usage'
import { within } from '../workshop'

/** `cardwright book`: the build book of what was built last, as a PDF and as a page. */
export async function book({ operands, options }: Request, _manner: Manner): Promise<number> {
  const project = findProject(process.cwd())
  const out = outFolder(project.root, options.out)
  const names = operands.length === 0 ? builtModels(out) : chooseModels(project, operands).map(({ name }) => name)
  if (names.length === 0) throw new UsageError('no model has been built', 'run cardwright build first')
  const size = pageOption(options.page)
  const { entries, shapes } = asked(() => readProjectLogbook(project.root))
  for (const name of names) {
    const manifest = builtManifest(out, name)
    const own = entries.filter(({ model }) => model === name)
    const made = asked(() => bookOf({ manifest, solids: solidsIn(manifest), rates: ratesOf(own, shapes) }))
    const { content, pages } = bookPdf(made, size ?? firstSheet(manifest))
    const folder = join(out, name, 'book')
    // Both are made before either is written, so that what cannot be made costs neither.
    const html = bookHtml(made)
    replaceFile(join(folder, 'book.pdf'), content)
    replaceFile(join(folder, 'book.html'), html)
    const missing = placeFindings(manifest.pieces).filter(({ id }) => id === 'no-place')
    const loose = missing.reduce((sum, { found = 0, wanted = 0 }) => sum + wanted - found, 0)
    process.stdout.write(
      `${manifest.title}: ${made.chapters.length} chapters on ${pages} pages\n` +
        `  ${within(project.root, join(folder, 'book.pdf'))} and book.html\n` +
        (loose > 0 ? `  ${loose} pieces have no place in the model and are in no drawing\n` : ''),
    )
  }
  return EXIT.good
}

/** What cannot be stood up is told by the check; the book does without its picture. */
function solidsIn({ pieces, stocks }: Manifest): Solid[] {
  return standAll(pieces, new Map(stocks.map((stock) => [stock.id, stock]))).solids
}

function pageOption(name: string | undefined): PageSize | undefined {
  if (name === undefined) return undefined
  return large(asked(() => sheetSize(name), '--page: '), name)
}

function firstSheet({ stocks }: Manifest): PageSize {
  return large(stocks[0]?.sheet ?? sheetSize('A4'), 'the first stock’s sheet')
}

/** A table needs some breadth: A5 is the least. */
function large({ width, height }: PageSize, name: string): PageSize {
  if (width >= LEAST.width && height >= LEAST.height) return { width, height }
  throw new UsageError(
    `--page: ${name} is ${width} × ${height} mm, a book needs ${LEAST.width} × ${LEAST.height} mm`,
    'take A5 or larger',
  )
}

const LEAST = { width: 148, height: 205 }
