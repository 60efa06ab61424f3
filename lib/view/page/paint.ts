import type { PageData } from '../data'
import { findingsByPiece } from './found'
import type { Paint } from './scene'
import type { Colour } from './store'

/** One entry of the key to the colours: tone and pattern, so that nobody needs to tell colours apart. */
export interface Tone {
  readonly name: string
  readonly paint: Paint
  /** 0 plain, 1 striped, 2 dotted, 3 crossed. */
  readonly pattern: number
}

export interface Painting {
  /** In the order of the key. */
  readonly tones: readonly Tone[]
  /** Index of the tone, by piece. */
  readonly of: readonly number[]
}

/** What colour each piece has, and what that means. */
export function paintingOf(data: PageData, colour: Colour): Painting {
  switch (colour) {
    case 'card':
      return { tones: data.stocks.map(({ title }, i) => tone(title, CARDS, i)), of: data.pieces.map(({ stock }) => stock) }
    case 'assembly':
      return byAssembly(data)
    case 'findings':
      return byFinding(data)
    case 'changes':
      return byChange(data)
    case 'progress':
      return byState(data)
  }
}

function byAssembly({ assemblies, pieces }: PageData): Painting {
  const groups = pieces.map(({ assembly }) => (assemblies[assembly] ?? '').split('/')[0]!)
  const names = [...new Set(groups)]
  return {
    tones: names.map((name, i) => ({ ...tone(name || 'no assembly', HUES, i), pattern: Math.floor(i / HUES.length) % 4 })),
    of: groups.map((name) => names.indexOf(name)),
  }
}

function byFinding(data: PageData): Painting {
  const { findings } = data
  const kinds = ['error', 'warning', 'note'] as const
  return {
    tones: [{ name: 'nothing found', paint: PLAIN, pattern: 0 }, ...kinds.map((name, i) => marked(name, i))],
    of: findingsByPiece(data).map((own) => {
      const worst = kinds.findIndex((kind) => own.some((i) => findings[i]!.severity === kind))
      return worst + 1
    }),
  }
}

function byChange({ pieces, changes }: PageData): Painting {
  const kinds = [...new Set(changes?.pieces.map(({ kind }) => kind))]
  const changed = new Map(changes?.pieces.map(({ piece, kind }) => [piece, kind]))
  return {
    tones: [{ name: 'as it was', paint: PLAIN, pattern: 0 }, ...kinds.map((name, i) => marked(name, i))],
    of: pieces.map((_, i) => (changed.has(i) ? kinds.indexOf(changed.get(i)!) + 1 : 0)),
  }
}

function byState({ pieces, progress }: PageData): Painting {
  const states = progress?.states ?? ['not begun']
  return {
    tones: states.map((name, i) => ({ name, paint: STEPS[Math.min(i, STEPS.length - 1)]!, pattern: STEP_PATTERNS[i] ?? 0 })),
    of: pieces.map((_, i) => progress?.pieces[i] ?? 0),
  }
}

function tone(name: string, paints: readonly Paint[], i: number): Tone {
  return { name, paint: paints[i % paints.length]!, pattern: 0 }
}

function marked(name: string, i: number): Tone {
  return { name, paint: MARKED[i % MARKED.length]!, pattern: (i % 3) + 1 }
}

function hex(text: string): Paint {
  const number = Number.parseInt(text.slice(1), 16)
  return [(number >> 16) / 255, ((number >> 8) & 255) / 255, (number & 255) / 255]
}

/** Manila, grey-green, and what else lies about: grey board, brown board, white, blue-grey. */
const CARDS = ['#e3c793', '#abb8a0', '#bdb8ac', '#c39d75', '#efe9dc', '#a3b3ba'].map(hex)
const HUES = ['#d9b36c', '#93ab8b', '#c88f72', '#8ba5b3', '#b7a9c4', '#c7c08a', '#a98e7c', '#86b5a8'].map(hex)
const MARKED = ['#cf6152', '#d9a441', '#6d96b5', '#8a9a5b'].map(hex)
const PLAIN = hex('#e4ddcc')
const STEPS = ['#e9e4d8', '#d5d9c4', '#b9c7a4', '#93af86', '#6f9772', '#cf6152'].map(hex)
const STEP_PATTERNS = [0, 2, 1, 3, 0, 3]
