import { createRequire, Module } from 'node:module'
import { dirname, join } from 'node:path'
import type { Svg } from '@svgdotjs/svg.js'
import { markupText } from './markup'

/** Builds an SVG document with svg.js and gives its text. */
export function openSvg(build: (root: Svg) => void): string {
  const { SVG, registerWindow, svgdom } = open()
  const window = svgdom.createSVGWindow()
  registerWindow(window, window.document)
  const root = SVG(window.document.documentElement)
  build(root)
  return `${written(window.document.documentElement)}\n`
}

/** As svgdom's own `outerHTML` has it, which looks through every text four times over for what has to be escaped. */
function written(node: SvgNode): string {
  if (node.nodeType === TEXT_NODE) return markupText(node.data)
  const name = fullName(node)
  let text = `<${name}`
  for (const attribute of node.attrs) text += ` ${fullName(attribute)}="${markupText(attribute.value)}"`
  text += '>'
  for (const child of node.childNodes) text += written(child)
  return `${text}</${name}>`
}

function fullName({ prefix, localName }: Named): string {
  return prefix ? `${prefix}:${localName}` : localName
}

const TEXT_NODE = 3

/** What is used of svgdom, which comes without types. */
interface Named {
  readonly prefix: string | null
  readonly localName: string
}

/** An element or a text: sheets have nothing else. */
interface SvgNode extends Named {
  readonly nodeType: number
  readonly data: string
  readonly attrs: Iterable<Named & { readonly value: string }>
  readonly childNodes: readonly SvgNode[]
}

interface SvgWindow {
  readonly document: { readonly documentElement: SvgNode }
}

interface Tools {
  readonly SVG: (element: unknown) => Svg
  readonly registerWindow: (window: unknown, document: unknown) => void
  readonly svgdom: { createSVGWindow(): SvgWindow }
}

let tools: Tools | undefined

/** Loaded with the first sheet, not with the program. */
function open(): Tools {
  if (tools) return tools
  const load = createRequire(__filename)
  const { SVG, registerWindow } = load('@svgdotjs/svg.js')
  return (tools = { SVG, registerWindow, svgdom: loadSvgdom(load) })
}

/**
 * svgdom with its font engine and image reader put off until they are used. They make nine tenths of its loading time
 * (300 ms of processor time against 35) and serve only to measure text and pictures, of which a sheet has none: its
 * letters are outlines.
 */
function loadSvgdom(load: NodeJS.Require): Tools['svgdom'] {
  const entry = load.resolve('svgdom')
  const own = createRequire(entry)
  const restore = ['fontkit', 'image-size'].map((name) => putOff(own, name))
  try {
    // The bundle beside the entry: as CommonJS it looks its parts up in the cache of modules.
    return own(join(dirname(entry), 'dist/main-require.cjs'))
  } finally {
    for (const undo of restore) undo()
  }
}

/** Answers the next `require` of a module with a stand-in that loads it when touched; gives back how to undo that. */
function putOff(load: NodeJS.Require, name: string): () => void {
  const path = load.resolve(name)
  if (load.cache[path]) return () => {}
  const exports = new Proxy(() => {}, {
    get: (_, key) => load(name)[key],
    apply: (_, self, values) => Reflect.apply(load(name), self, values),
  })
  load.cache[path] = Object.assign(new Module(path), { exports, loaded: true })
  return () => {
    delete load.cache[path]
  }
}
