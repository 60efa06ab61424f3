import { type Book, shelf, type Shelf } from './book'
import { el, fill } from './dom'
import { changesPage, findingsPage, progressPage } from './listPages'
import { modelPage, sceneOrReason } from './modelPage'
import type { ModelScene } from './scene'
import { sheetsPage } from './sheetsPage'
import { AT_FIRST, createStore, type PageName, PAGES, type Store } from './store'

void start(shelf())

async function start(models: Shelf): Promise<void> {
  const [first] = models.models
  if (!first) return fill(document.body, nothing('There is no model to show.'))
  const opening = models.open(first.name)
  // The browser gets ready to draw while the data is on its way.
  const scene = sceneOrReason()
  const book = await opening
  if (!book) {
    fill(document.body, nothing('The first build is under way. This page shows it when it is done.'))
    return models.firstBuild(() => location.reload())
  }
  performance.mark('data')
  const store = createStore(book, { ...AT_FIRST, page: pageInAddress() })
  const status = el('p', { className: 'status', role: 'status' })
  fill(document.body, binding(store, models, status), ...pages(store, scene))
  show(store)
  store.on((changed) => changed.has('page') && show(store))
  window.addEventListener('hashchange', () => store.choose({ page: pageInAddress() }))
  window.addEventListener('keydown', (event) => turnPage(event, store))
  follow(store, models, status)
  document.documentElement.dataset['ready'] = 'yes'
}

function nothing(text: string): HTMLElement {
  return el('main', { className: 'nothing alone' }, el('p', { role: 'status' }, text))
}

function pageInAddress(): PageName {
  return PAGES.find((name) => location.hash === `#${name}`) ?? 'model'
}

function pages(store: Store, scene: ModelScene | string): HTMLElement[] {
  const all: Readonly<Record<PageName, HTMLElement>> = {
    model: modelPage(store, scene),
    sheets: sheetsPage(store),
    findings: findingsPage(store),
    changes: changesPage(store),
    progress: progressPage(store),
  }
  return PAGES.map((name) => el('main', { id: `page-${name}` }, all[name]))
}

function show(store: Store): void {
  const { page } = store.choice
  for (const name of PAGES) document.getElementById(`page-${name}`)!.hidden = name !== page
  for (const link of document.querySelectorAll('.contents a')) {
    if (link.getAttribute('href') === `#${page}`) link.setAttribute('aria-current', 'page')
    else link.removeAttribute('aria-current')
  }
  if (pageInAddress() !== page) history.replaceState(null, '', `#${page}`)
}

/** Title, and the list of contents with what is in each page instead of its number. */
function binding(store: Store, models: Shelf, status: HTMLElement): HTMLElement {
  const title = el('div', { className: 'title' })
  const contents = el('nav', { className: 'contents', 'aria-label': 'Contents' })
  const write = () => {
    const { data } = store.book
    document.title = data.title
    fill(title, el('h1', {}, data.title), el('p', {}, data.scale.name), data.stale === undefined ? '' : stale(data.stale))
    fill(
      contents,
      ...PAGES.map((name, i) =>
        el(
          'a',
          { href: `#${name}`, accessKey: String(i + 1) },
          el('span', { className: 'name' }, NAMES[name]),
          el('span', { className: 'leader' }),
          el('span', { className: 'count' }, countOf(store.book, name)),
        ),
      ),
    )
    show(store)
  }
  store.on((changed) => changed.has('book') && write())
  queueMicrotask(write)
  return el('header', { className: 'binding' }, title, ...chooser(store, models), contents, status)
}

const NAMES: Readonly<Record<PageName, string>> = {
  model: 'Model',
  sheets: 'Sheets',
  findings: 'Findings',
  changes: 'Changes',
  progress: 'Progress',
}

function stale(text: string): HTMLElement {
  return el('p', { className: 'stale', role: 'alert' }, text)
}

function countOf({ data }: Book, name: PageName): string {
  const { pieces, sheets, findings, changes, progress } = data
  switch (name) {
    case 'model':
      return String(pieces.reduce((sum, { copies }) => sum + copies, 0))
    case 'sheets':
      return String(sheets.length)
    case 'findings':
      return `${findings.length}${data.fit === 'under way' ? ' …' : ''}`
    case 'changes':
      return changes ? String(changes.pieces.length + changes.gone.length) : '–'
    case 'progress':
      return progress ? `${Math.round((100 * progress.pieces.filter((state) => state > 0).length) / (pieces.length || 1))} %` : '–'
  }
}

function chooser(store: Store, shelf: Shelf): HTMLElement[] {
  if (shelf.models.length < 2) return []
  const select = el(
    'select',
    { id: 'which', 'aria-label': 'Which model' },
    ...shelf.models.map(({ name, title }) => el('option', { value: name }, title)),
  )
  select.value = store.book.data.name
  select.addEventListener('change', async () => {
    const book = await shelf.open(select.value)
    if (book) store.open(book)
  })
  return [select]
}

/** Digits turn to a page, a slash goes to the search, Escape puts away what was opened last, unless somebody is writing. */
function turnPage(event: KeyboardEvent, store: Store): void {
  const { target, key, ctrlKey, metaKey, altKey, defaultPrevented } = event
  if (defaultPrevented) return
  if (ctrlKey || metaKey || altKey || (target as Element).matches?.('input:not([type=range], [type=checkbox]), select')) return
  const page = PAGES[Number(key) - 1]
  if (page) store.choose({ page })
  else if (key === 'Escape') store.choose(store.choice.page === 'sheets' ? { sheet: undefined } : { piece: undefined })
  else if (key === '/') {
    event.preventDefault()
    store.choose({ page: 'model' })
    document.getElementById('find')?.focus()
  }
}

/** Takes up what was built, and what became known of it later, keeping everything that was chosen. */
function follow(store: Store, models: Shelf, status: HTMLElement): void {
  let said = 'follows every save'
  models.follow(
    ({ book, builds }) => {
      // Before the model is opened, so that the picture of it knows which build it is of.
      document.documentElement.dataset['builds'] = String(builds)
      store.open(book)
      if (builds > 0) said = `built anew, ${builds === 1 ? 'once' : `${builds} times`} since this page was opened`
      fill(status, said)
    },
    (linked) => fill(status, linked ? said : 'cardwright view has ended; this is the last it made'),
  )
}
