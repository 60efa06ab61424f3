import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { MessageChannel, receiveMessageOnPort, Worker } from 'node:worker_threads'
import { nest } from '../nest/index'
import type { NestRequest, NestResult } from '../nest/nest'
import { DONE, type NestAnswer, type NestWork, TAKEN, UNTAKEN } from './nestWorker'

/**
 * Nests requests that hang on nothing of each other in two threads at once. The results are those of {@link nest}, and
 * are waited for when they are asked for.
 */
export class NestThreads {
  private readonly jobs: readonly NestJob[]
  private readonly results = new Map<number, NestAnswer>()
  private readonly states: Int32Array
  private readonly port: MessageChannel['port1'] | undefined
  private readonly worker: Worker | undefined

  constructor(jobs: readonly NestJob[]) {
    this.jobs = jobs
    this.states = new Int32Array(new SharedArrayBuffer(4 * jobs.length))
    if (jobs.filter(({ fresh }) => fresh >= WORTH_A_THREAD).length < 2 || !existsSync(WORKER)) return
    const { port1, port2 } = new MessageChannel()
    const plain = jobs.map((job) => {
      const { onProgress: _, ...request } = job.request()
      return request
    })
    const workerData: NestWork = { requests: plain, states: this.states, port: port2 }
    this.port = port1
    this.worker = new Worker(WORKER, { workerData, transferList: [port2] })
    this.worker.unref()
  }

  result(index: number): NestResult {
    const { states } = this
    if (Atomics.compareExchange(states, index, UNTAKEN, TAKEN) === UNTAKEN) return nest(this.jobs[index]!.request())
    // A thread that has died tells nobody.
    if (Atomics.wait(states, index, TAKEN, LONGEST) === 'timed-out') return nest(this.jobs[index]!.request())
    for (let message = receiveMessageOnPort(this.port!); message; message = receiveMessageOnPort(this.port!)) {
      const answer = message.message as NestAnswer
      this.results.set(answer.index, answer)
    }
    const { result, error } = this.results.get(index)!
    if (!result) throw new Error(error)
    return result
  }

  close(): void {
    // What nobody asked for need not be begun.
    for (let i = 0; i < this.states.length; i++) Atomics.compareExchange(this.states, i, UNTAKEN, DONE)
    void this.worker?.terminate()
  }
}

export interface NestJob {
  /** How many pieces have no place yet. */
  readonly fresh: number
  readonly request: () => NestRequest
}

/** So few pieces take less time than it takes to start a thread. */
const WORTH_A_THREAD = 40

/** Nesting takes no longer, ms. */
const LONGEST = 900_000

const WORKER = join(__dirname, 'nestWorker.js')
