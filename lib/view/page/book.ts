import { applyDelta } from '../applyDelta'
import type { PageData, PageNews, ServedModel } from '../data'
import { bytesOf } from './unpack'

/** One model with where its sheets are to be had. */
export interface Book {
  readonly data: PageData
  /** Address of the sheet's drawing, for an image. */
  readonly sheetAddress: (name: string) => Promise<string>
}

export interface Shelf {
  readonly models: readonly { readonly name: string; readonly title: string }[]
  /** Undefined while it has not been built yet. */
  open(name: string): Promise<Book | undefined>
  /** Calls back once there is something to open. */
  firstBuild(then: () => void): void
  /** Tells each new edition of the model that was opened last, and when the connection comes or goes. */
  follow(onEdition: (edition: NewEdition) => void, onLink: (linked: boolean) => void): void
}

export interface NewEdition {
  readonly book: Book
  /** How often it was built since the page began to look at it. */
  readonly builds: number
}

/** What lies in the page itself: everything, in a file; the names of the models, from a server. */
interface Laid {
  readonly served?: Shelf['models']
  readonly enclosed?: readonly Enclosed[]
}

export function shelf(): Shelf {
  const laid = JSON.parse(document.getElementById('data')!.textContent) as Laid
  return laid.enclosed ? enclosedShelf(laid.enclosed) : servedShelf(laid.served ?? [])
}

interface Enclosed {
  readonly name: string
  readonly title: string
  /** Deflated (RFC 1951), base64: JSON, and SVG by name. */
  readonly data: string
  readonly sheets: Readonly<Record<string, string>>
}

function enclosedShelf(enclosed: readonly Enclosed[]): Shelf {
  const addresses = new Map<string, string>()
  return {
    models: enclosed.map(({ name, title }) => ({ name, title })),
    async open(name) {
      const { data, sheets } = enclosed.find((one) => one.name === name)!
      return {
        data: JSON.parse(await inflated(data)) as PageData,
        async sheetAddress(sheet) {
          const key = `${name}/${sheet}`
          const known = addresses.get(key)
          if (known !== undefined) return known
          const address = URL.createObjectURL(new Blob([await inflated(sheets[sheet]!)], { type: 'image/svg+xml' }))
          addresses.set(key, address)
          return address
        },
      }
    },
    firstBuild() {},
    follow() {},
  }
}

async function inflated(base64: string): Promise<string> {
  const stream = new Blob([bytesOf(base64)]).stream().pipeThrough(new DecompressionStream('deflate-raw'))
  return new Response(stream).text()
}

/** The model that is followed. */
interface Followed {
  readonly name: string
  readonly edition: string
  /** As the server counts, and at which it was first opened. */
  readonly build: number
  readonly from: number
  readonly book: Book
}

function servedShelf(models: Shelf['models']): Shelf {
  let listed = models
  let followed: Followed | undefined
  const take = (name: string, from: number | undefined, { edition, build, data }: ServedModel): Followed =>
    (followed = { name, edition, build, from: from ?? build, book: servedBook(name, data) })
  const fetched = async (name: string, from?: number) => {
    const response = await fetch(`/model/${encodeURIComponent(name)}`)
    return response.ok ? take(name, from, (await response.json()) as ServedModel) : undefined
  }
  return {
    get models() {
      return listed
    },
    async open(name) {
      const built = await editions()
      // The page may have come from before the first build, when only folders had names.
      listed = listed.map(({ name, title }) => ({ name, title: built.find(({ model }) => model === name)?.title ?? title }))
      return built.some(({ model }) => model === name) ? (await fetched(name))?.book : undefined
    },
    firstBuild(then) {
      const events = new EventSource('/events')
      events.addEventListener('built', then)
      events.addEventListener('open', async () => (await editions()).length > 0 && then())
    },
    follow(onEdition, onLink) {
      const events = new EventSource('/events')
      const hear = async ({ model, edition, build, delta }: PageNews) => {
        if (!followed || model !== followed.name) return
        const { from, book } = followed
        if (edition === followed.edition) followed = { ...followed, build }
        else if (delta?.from === followed.edition) take(model, from, { edition, build, data: applyDelta(book.data, delta) })
        else if (!(await fetched(model, from))) return
        onEdition({ book: followed.book, builds: followed.build - followed.from })
      }
      // One after another, so that no older edition comes after a newer one.
      let heard: Promise<unknown> = Promise.resolve()
      const listen = (news: PageNews) => (heard = heard.then(() => hear(news)).catch(() => onLink(false)))
      events.addEventListener('built', ({ data }) => listen(JSON.parse(data as string) as PageNews))
      events.addEventListener('open', async () => {
        onLink(true)
        // What was made known while nobody listened.
        for (const news of await editions()) {
          if (news.model !== followed?.name || news.edition !== followed.edition) listen(news)
        }
      })
      events.addEventListener('error', () => onLink(false))
    },
  }
}

/** Of all models that have been built. */
async function editions(): Promise<readonly PageNews[]> {
  const response = await fetch('/editions')
  return response.ok ? ((await response.json()) as PageNews[]) : []
}

function servedBook(name: string, data: PageData): Book {
  const digests = new Map(data.sheets.map((sheet) => [sheet.name, sheet.digest]))
  return {
    data,
    // A digest that no server looks at makes the browser take a sheet anew when it has changed.
    sheetAddress: async (sheet) => `/sheet/${encodeURIComponent(name)}/${encodeURIComponent(sheet)}?${digests.get(sheet) ?? ''}`,
  }
}
