import { parentPort } from 'node:worker_threads'
import type { Finding } from '../finding/finding'
import { fitFindings, prepareFit } from '../fit/index'
import type { Model } from '../model/model'

/** A model as data: where its author wrote a piece does not travel. */
export type FitQuestion = Pick<Model, 'pieces' | 'stocks' | 'relations'>

export type FitAnswer = readonly Finding[]

parentPort?.on('message', async (question: FitQuestion) => {
  const answer: FitAnswer = fitFindings(question, await prepareFit())
  // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread, not a window
  parentPort!.postMessage(answer)
})
