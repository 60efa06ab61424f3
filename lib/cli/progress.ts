import type { SingleBar } from 'cli-progress'

/** Tells how far long work has come. */
export interface Progress {
  /** `done` of `total` steps of what is being done now: `nesting sandpiper`. */
  step(what: string, done: number, total: number): void
  /** Takes the bar away, so that text can be printed. */
  clear(): void
}

/** Work shorter than this needs no bar. */
const PATIENCE = 1000

/** A bar on a terminal, and nothing anywhere else. */
export function createProgress(stream: NodeJS.WriteStream): Progress {
  if (!stream.isTTY) return { step() {}, clear() {} }
  const start = Date.now()
  let bar: SingleBar | undefined
  return {
    step(what, done, total) {
      if (Date.now() - start < PATIENCE) return
      bar ??= startBar(stream)
      bar.setTotal(total)
      bar.update(done, { what })
    },
    clear() {
      bar?.stop()
      bar = undefined
    },
  }
}

function startBar(stream: NodeJS.WriteStream): SingleBar {
  const { SingleBar } = require('cli-progress') as typeof import('cli-progress')
  // The work is done without a pause, in which a timer could draw; every update draws, ten times a second at most.
  const bar = new SingleBar({
    format: '{what} [{bar}] {value} of {total}',
    stream,
    clearOnComplete: true,
    hideCursor: true,
    fps: 10,
    synchronousUpdate: true,
  })
  bar.start(1, 0, { what: '' })
  return bar
}
