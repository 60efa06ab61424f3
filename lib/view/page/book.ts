import type { PageData } from '../data'
import { bytesOf } from './unpack'

/** One model with where its sheets are to be had. */
export interface Book {
  readonly data: PageData
  /** Address of the sheet's drawing, for an image. */
  readonly sheetAddress: (name: string) => Promise<string>
}

export interface Shelf {
  readonly models: readonly { readonly name: string; readonly title: string }[]
  open(name: string): Promise<Book>
  /** Calls back with a model's name each time it was built, and when the connection comes or goes. */
  follow(onBuilt: (name: string) => void, onLink: (linked: boolean) => void): void
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
    follow() {},
  }
}

async function inflated(base64: string): Promise<string> {
  const stream = new Blob([bytesOf(base64)]).stream().pipeThrough(new DecompressionStream('deflate-raw'))
  return new Response(stream).text()
}

function servedShelf(models: Shelf['models']): Shelf {
  let builds = 0
  return {
    models,
    async open(name) {
      const build = builds++
      const response = await fetch(`/model/${encodeURIComponent(name)}`)
      if (!response.ok) throw new Error(`the model ${name} is not there any more`)
      const data = (await response.json()) as PageData
      // A number that no server looks at makes the browser take the sheet anew after each build.
      const sheetAddress = async (sheet: string) =>
        `/sheet/${encodeURIComponent(name)}/${encodeURIComponent(sheet)}?${build}`
      return { data, sheetAddress }
    },
    follow(onBuilt, onLink) {
      const events = new EventSource('/events')
      let lost = false
      events.addEventListener('built', ({ data }) => onBuilt((JSON.parse(data as string) as { model: string }).model))
      events.addEventListener('open', () => {
        onLink(true)
        // What was built while nobody listened.
        if (lost) for (const { name } of models) onBuilt(name)
        lost = false
      })
      events.addEventListener('error', () => {
        lost = true
        onLink(false)
      })
    },
  }
}
