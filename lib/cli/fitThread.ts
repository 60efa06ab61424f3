import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { Finding } from '../finding/finding'
import { resolveSite } from '../finding/site'
import type { Model } from '../model/model'
import { digest, type Store } from './cache/store'
import { ownDigest } from './cache/own'
import type { FitAnswer, FitQuestion } from './fitWorker'

export interface FitThread {
  /**
   * Looks at the fit of a model beside everything else, and gives it up when the same model is asked about again before
   * that is done.
   *
   * @param onFound called once, perhaps at once; never for a model that was given up
   */
  look(model: Model, onFound: (findings: readonly Finding[]) => void): void
  /** What is found of it now is of no use any more. */
  giveUp(name: string): void
}

interface Job {
  readonly name: string
  readonly key: string
  readonly question: FitQuestion
  done: (found: FitAnswer) => void
}

/**
 * The fit takes seconds, in a thread that is ended where what it works at is out of date. What was found is kept in the
 * store by all that it hangs on.
 */
export function createFitThread(store: Store): FitThread {
  let worker: Worker | undefined
  let running: Job | undefined
  let waiting: Job[] = []

  const next = () => {
    const job = (running = waiting.shift())
    if (!job) return
    const at = (worker ??= new Worker(join(__dirname, 'fitWorker.js')))
    const finish = (found: FitAnswer) => {
      at.off('message', answered).off('error', failed)
      // One that was given up is nobody's any more.
      if (running !== job) return
      job.done(found)
      next()
    }
    const answered = (found: FitAnswer) => {
      store.put(job.key, found)
      finish(found)
    }
    const failed = (error: Error) => {
      if (worker === at) worker = undefined
      finish([unknownFit(error)])
    }
    at.on('message', answered).on('error', failed)
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread, not a window
    at.postMessage(job.question)
  }
  const giveUp = (name: string) => {
    waiting = waiting.filter((job) => job.name !== name)
    if (running?.name !== name) return
    running = undefined
    void worker?.terminate()
    worker = undefined
  }

  return {
    look(model, onFound) {
      const question = questionOf(model)
      const key = keyOf(question)
      const told = (found: FitAnswer) => onFound(withSites(found, model))
      if (running?.name === model.name && running.key === key) return void (running.done = told)
      giveUp(model.name)
      const known = store.get(key) as FitAnswer | undefined
      if (known) told(known)
      else waiting.push({ name: model.name, key, question, done: told })
      if (!running) next()
    },
    giveUp,
  }
}

function questionOf({ pieces, stocks, relations }: Model): FitQuestion {
  return { pieces: pieces.map(({ site: _site, ...piece }) => piece), stocks, relations }
}

function keyOf({ pieces, stocks, relations }: FitQuestion): string {
  return `fit ${ownDigest()} ${digest(JSON.stringify([pieces, [...stocks], relations]))}`
}

/** Findings are told with the author's line as it is now. */
function withSites(found: FitAnswer, { pieces }: Model): Finding[] {
  const sites = new Map(pieces.map(({ mark, site }) => [mark, site]))
  return found.map((finding) => {
    const site = finding.mark === undefined ? undefined : resolveSite(sites.get(finding.mark))
    return site ? { ...finding, site } : finding
  })
}

function unknownFit(error: Error): Finding {
  return {
    id: 'fit-unknown',
    severity: 'note',
    text: `the fit could not be looked at: ${error.message}`,
    remedy: 'run cardwright fit for more, and please report it',
  }
}
