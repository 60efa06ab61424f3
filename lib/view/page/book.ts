import type { PageData } from '../data'

/** One model with where its sheets are to be had. */
export interface Book {
  readonly data: PageData
  /** Address of the sheet's drawing, for an image. */
  readonly sheetAddress: (name: string) => string
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
  readonly enclosed?: readonly { readonly data: PageData; readonly sheets: Readonly<Record<string, string>> }[]
}

export function shelf(): Shelf {
  const laid = JSON.parse(document.getElementById('data')!.textContent) as Laid
  return laid.enclosed ? enclosedShelf(laid.enclosed) : servedShelf(laid.served ?? [])
}

function enclosedShelf(enclosed: NonNullable<Laid['enclosed']>): Shelf {
  const addresses = new Map<string, string>()
  return {
    models: enclosed.map(({ data: { name, title } }) => ({ name, title })),
    async open(name) {
      const { data, sheets } = enclosed.find((one) => one.data.name === name)!
      return {
        data,
        sheetAddress(sheet) {
          const key = `${name}/${sheet}`
          const known = addresses.get(key)
          if (known !== undefined) return known
          const address = URL.createObjectURL(new Blob([sheets[sheet] ?? ''], { type: 'image/svg+xml' }))
          addresses.set(key, address)
          return address
        },
      }
    },
    follow() {},
  }
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
      const sheetAddress = (sheet: string) => `/sheet/${encodeURIComponent(name)}/${encodeURIComponent(sheet)}?${build}`
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
