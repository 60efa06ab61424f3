import { readFileSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import type { Finding } from '../../finding/finding'
import { fitFindings, prepareFit } from '../../fit/index'
import type { PageNews, ServedModel } from '../../view/data'
import { deltaText, type Edition, editionOf } from '../../view/edition'
import { type Bundle, enclosedPage, type ModelPage, SERVED_POLICY, servedPage, SHEET_POLICY } from '../../view/html'
import { buildAll, printOutcomes } from '../builds'
import { type Compared, comparedWith } from '../changesPage'
import { createFitThread, type FitThread } from '../fitThread'
import { EXIT } from '../options'
import { createDrafter, type Draft } from '../page'
import type { Request } from '../parse'
import type { Manner } from '../print'
import { findingsOf, hasErrors, type Outcome } from '../report'
import type { PageServer } from '../server'
import { startServerThread } from '../serverThread'
import { watchModels } from '../watch'
import { openWorkshop, type Workshop } from '../workshop'
import { finishBuilds, unwritten } from '../write'

/** `cardwright view`: builds, serves a page to look at what was built, and follows every save. */
export async function view(request: Request, manner: Manner): Promise<number> {
  const { export: file } = request.options
  if (file !== undefined) return exportPage(resolve(file), request, manner)
  const watching = { ...request, options: { ...request.options, watch: true } }
  const workshop = openWorkshop(watching)
  finishBuilds(workshop.out)
  const compared = comparedWith(watching, workshop)
  const server = await startServerThread(request.options.port)
  const publisher = createPublisher(workshop, compared, server)
  publisher.begin()
  process.stdout.write(`the page is at ${server.address} (Ctrl+C ends it)\n`)
  return watchModels(workshop, watching, manner, (outcomes) => publisher.publish(outcomes))
}

async function exportPage(file: string, request: Request, manner: Manner): Promise<number> {
  const workshop = openWorkshop(request)
  finishBuilds(workshop.out)
  const kernel = await prepareFit()
  const outcomes = buildAll(workshop.models(), workshop, true)
  printOutcomes(outcomes, workshop, manner)
  const compared = comparedWith(request, workshop)
  const pages = outcomes.map((outcome) => {
    const draft = createDrafter(workshop, compared)(outcome)
    return outcome.model ? draft.page('known', fitFindings(outcome.model, kernel)) : draft.page('none', [])
  })
  try {
    writeFileSync(file, enclosedPage(pages, readBundle()))
  } catch (error) {
    throw unwritten(request.options.export!, error, 'give a file in a folder of yours')
  }
  process.stdout.write(`the page is in ${request.options.export}\n`)
  return hasErrors(outcomes.flatMap(findingsOf)) ? EXIT.findings : EXIT.good
}

/** A model as it is served. */
interface Published {
  readonly page: ModelPage
  readonly edition: Edition
  readonly build: number
}

interface Publisher {
  /** Serves a page that waits for the first build. */
  begin(): void
  /** Serves what was just built beside what is served already, tells the pages that are open, and has the fit looked at. */
  publish(outcomes: readonly Outcome[]): void
}

function createPublisher(workshop: Workshop, compared: Compared | undefined, server: PageServer): Publisher {
  const fit: FitThread = createFitThread(workshop.store)
  const bundle = readBundle()
  const drafters = new Map<string, (outcome: Outcome) => Draft>()
  const published = new Map<string, Published>()
  // What was last said of the fit is told until more is known: most of it still holds after an edit.
  const fits = new Map<string, readonly Finding[]>()

  const show = (name: string, page: ModelPage, built: boolean) => {
    const before = published.get(name)
    const edition = editionOf(page.data)
    const build = (before?.build ?? 0) + (built ? 1 : 0)
    published.set(name, { page, edition, build })
    serve(server, bundle, published)
    const told: PageNews = { model: name, title: page.data.title, edition: edition.id, build }
    server.tell('built', newsText(told, before && deltaText(before.edition, edition)))
  }
  return {
    begin() {
      const models = workshop.models().map(({ name }) => ({ name, title: name }))
      servePage(server, bundle, models, [])
    },
    publish(outcomes) {
      for (const outcome of outcomes) {
        const { name, model } = outcome
        const drafter = drafters.get(name) ?? createDrafter(workshop, compared)
        drafters.set(name, drafter)
        const draft = drafter(outcome)
        if (!model) {
          fit.giveUp(name)
          show(name, draft.page('none', []), true)
          continue
        }
        // The picture first: whoever has just saved waits for it.
        const soon = draft.soon(fits.get(name) ?? [])
        if (soon) show(name, soon, true)
        show(name, draft.page('under way', fits.get(name) ?? []), !soon)
        fit.look(model, (found) => {
          fits.set(name, found)
          show(name, draft.page('known', found), false)
        })
      }
    },
  }
}

function newsText(told: PageNews, delta: string | undefined): string {
  const text = JSON.stringify(told)
  return delta === undefined ? text : `${text.slice(0, -1)},"delta":${delta}}`
}

/** All that there is, at a path each; what is there no longer is gone. */
function serve(server: PageServer, bundle: Bundle, published: ReadonlyMap<string, Published>): void {
  const editions = [...published].map(([model, { page, edition, build }]): PageNews => ({ model, title: page.data.title, edition: edition.id, build }))
  const titles = editions.map(({ model, title }) => ({ name: model, title }))
  const paths = servePage(server, bundle, titles, editions)
  const put = (path: string, type: string, body: string, policy?: string) => {
    paths.add(path)
    server.put(path, { type: `${type}; charset=utf-8`, body, ...(policy !== undefined && { policy }) })
  }
  for (const [name, { page, edition, build }] of published) {
    const folder = encodeURIComponent(name)
    put(`/model/${folder}`, 'application/json', servedModel(edition, build))
    for (const [sheet, svg] of page.sheets) {
      put(`/sheet/${folder}/${encodeURIComponent(sheet)}`, 'image/svg+xml', svg, SHEET_POLICY)
    }
  }
  server.keepOnly(paths)
}

/** JSON of {@link ServedModel}. */
function servedModel({ id, text }: Edition, build: number): string {
  const told: Omit<ServedModel, 'data'> = { edition: id, build }
  return `${JSON.stringify(told).slice(0, -1)},"data":${text}}`
}

const EDITIONS = '/editions'

/** The page itself, and what there is to open; gives the paths they are at. */
function servePage(server: PageServer, { script, style }: Bundle, models: readonly { name: string; title: string }[], editions: readonly PageNews[]): Set<string> {
  server.put('/', { type: 'text/html; charset=utf-8', body: servedPage(models), policy: SERVED_POLICY })
  server.put('/page.js', { type: 'text/javascript; charset=utf-8', body: script })
  server.put('/page.css', { type: 'text/css; charset=utf-8', body: style })
  server.put(EDITIONS, { type: 'application/json; charset=utf-8', body: JSON.stringify(editions) })
  return new Set(['/', '/page.js', '/page.css', EDITIONS])
}

function readBundle(): Bundle {
  const read = (name: string) => readFileSync(join(__dirname, '../../view', name), 'utf8')
  return { script: read('page.js'), style: read('page.css') }
}
