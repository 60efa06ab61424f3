import { readFileSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { type Bundle, enclosedPage, type ModelPage, SERVED_POLICY, servedPage, SHEET_POLICY } from '../../view/html'
import { type Compared, comparedWith } from '../changesPage'
import { EXIT } from '../options'
import { pageOf } from '../page'
import type { Request } from '../parse'
import type { Manner } from '../print'
import { createRecall, type Recall } from '../recall'
import { findingsOf, hasErrors, type Outcome } from '../report'
import { type PageServer, startServer } from '../server'
import { UsageError } from '../usage'
import { watchModels } from '../watch'
import { openWorkshop, type Workshop } from '../workshop'
import { finishBuilds } from '../write'
import { buildAll, printOutcomes } from '../builds'

/** `cardwright view`: builds, serves a page to look at what was built, and follows every save. */
export async function view(request: Request, manner: Manner): Promise<number> {
  const { export: file } = request.options
  if (file !== undefined) return exportPage(resolve(file), request, manner)
  const watching = { ...request, options: { ...request.options, watch: true } }
  const workshop = openWorkshop(watching)
  finishBuilds(workshop.out)
  const bundle = readBundle()
  const compared = comparedWith(watching, workshop)
  const server = await startServer(request.options.port)
  process.stdout.write(`the page is at ${server.address} (Ctrl+C ends it)\n`)
  const pages = new Map<string, ModelPage>()
  const recalls = new Map<string, Recall>()
  return watchModels(workshop, watching, manner, (outcomes) => publish(outcomes, { workshop, bundle, server, pages, recalls, compared }))
}

function exportPage(file: string, request: Request, manner: Manner): number {
  const workshop = openWorkshop(request)
  finishBuilds(workshop.out)
  const outcomes = buildAll(workshop.models(), workshop, true)
  printOutcomes(outcomes, workshop, manner)
  const compared = comparedWith(request, workshop)
  const pages = outcomes.map((outcome) => pageOf(outcome, workshop, createRecall(), compared))
  try {
    writeFileSync(file, enclosedPage(pages, readBundle()))
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    throw new UsageError(`${request.options.export} could not be written (${code})`, 'give a file in a folder of yours')
  }
  process.stdout.write(`the page is in ${request.options.export}\n`)
  return hasErrors(outcomes.flatMap(findingsOf)) ? EXIT.findings : EXIT.good
}

interface Published {
  readonly workshop: Workshop
  readonly bundle: Bundle
  readonly server: PageServer
  /** By model. */
  readonly pages: Map<string, ModelPage>
  readonly recalls: Map<string, Recall>
  readonly compared: Compared | undefined
}

/** Serves what was just built beside what is served already, and tells the pages that are open. */
function publish(outcomes: readonly Outcome[], { workshop, bundle, server, pages, recalls, compared }: Published): void {
  for (const outcome of outcomes) {
    const recall = recalls.get(outcome.name) ?? createRecall()
    recalls.set(outcome.name, recall)
    pages.set(outcome.name, pageOf(outcome, workshop, recall, compared))
  }
  const titles = [...pages].map(([name, { data }]) => ({ name, title: data.title }))
  const paths = new Set<string>()
  const put = (path: string, type: string, body: string, policy?: string) => {
    paths.add(path)
    server.put(path, { type: `${type}; charset=utf-8`, body, ...(policy !== undefined && { policy }) })
  }
  put('/', 'text/html', servedPage(titles), SERVED_POLICY)
  put('/page.js', 'text/javascript', bundle.script)
  put('/page.css', 'text/css', bundle.style)
  for (const [name, { data, sheets }] of pages) {
    const folder = encodeURIComponent(name)
    put(`/model/${folder}`, 'application/json', JSON.stringify(data))
    for (const [sheet, svg] of sheets) {
      put(`/sheet/${folder}/${encodeURIComponent(sheet)}`, 'image/svg+xml', svg, SHEET_POLICY)
    }
  }
  server.keepOnly(paths)
  for (const { name } of outcomes) server.tell('built', JSON.stringify({ model: name }))
}

function readBundle(): Bundle {
  const read = (name: string) => readFileSync(join(__dirname, '../../view', name), 'utf8')
  return { script: read('page.js'), style: read('page.css') }
}
