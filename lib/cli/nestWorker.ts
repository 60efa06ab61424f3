import { type MessagePort, workerData } from 'node:worker_threads'
import { nest } from '../nest/index'
import type { NestRequest, NestResult } from '../nest/nest'

/** What a thread beside is given; progress is told by the first thread alone. */
export interface NestWork {
  readonly requests: readonly Omit<NestRequest, 'onProgress'>[]
  /** By request {@link UNTAKEN}, {@link TAKEN} by one of the threads or {@link DONE}. */
  readonly states: Int32Array
  readonly port: MessagePort
}

export interface NestAnswer {
  readonly index: number
  readonly result?: NestResult
  readonly error?: string
}

export const UNTAKEN = 0
export const TAKEN = 1
export const DONE = 2

if (workerData) work(workerData as NestWork)

/** From the last on, for the other thread begins with the first. */
function work({ requests, states, port }: NestWork): void {
  for (let index = requests.length - 1; index >= 0; index--) {
    if (Atomics.compareExchange(states, index, UNTAKEN, TAKEN) !== UNTAKEN) continue
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread, not a window
    port.postMessage(answerOf(index, requests[index]!))
    Atomics.store(states, index, DONE)
    Atomics.notify(states, index)
  }
}

function answerOf(index: number, request: NestRequest): NestAnswer {
  try {
    return { index, result: nest(request) }
  } catch (error) {
    return { index, error: error instanceof Error ? error.message : String(error) }
  }
}
