import { beforeAll, expect, test } from 'vitest'
import type * as Threads from '../../lib/cli/nestThread'
import { nest } from '../../lib/nest/index'
import type { NestPiece, NestRequest } from '../../lib/nest/nest'
import { buildCommand } from '../helpers/command'
import { A4 } from '../nest/cases'

let NestThreads: typeof Threads.NestThreads

/** Threads are started from what is built. */
beforeAll(() => {
  buildCommand()
  NestThreads = (require('../../dist/cli/nestThread.js') as typeof Threads).NestThreads
})

function request(count: number, width: number, more: Partial<NestRequest> = {}): NestRequest {
  const pieces = Array.from({ length: count }, (_, i): NestPiece => {
    const outline = [[0, 0], [width + i / 7, 0], [width / 2, 11 + i / 5]] as const
    return { id: `P${i}`, outline, openings: [], turns: [0, 180], group: 'P' }
  })
  return { pieces, sheet: A4, gap: 2, sharedCuts: true, effort: 'quick', onProgress: () => undefined, ...more }
}

const jobsOf = (requests: readonly NestRequest[]) => requests.map((one) => ({ fresh: one.pieces.length, request: () => one }))

test('nests two stocks at once with the results of one after the other, in whatever order they are asked for', () => {
  const requests = [request(60, 23), request(45, 31), request(50, 17)]
  const alone = requests.map(nest)
  for (const order of [[0, 1, 2], [2, 1, 0], [1, 2, 0]]) {
    const threads = new NestThreads(jobsOf(requests))
    try {
      for (const i of order) expect(threads.result(i)).toEqual(alone[i])
    } finally {
      threads.close()
    }
  }
})

test('tells an error of either thread where its result is asked for', () => {
  // Pieces that lack an outline are a fault of the program; both threads come upon one.
  const faulty = request(50, 20)
  const broken = { ...faulty, pieces: faulty.pieces.map(({ outline: _outline, ...piece }) => piece as NestPiece) }
  const threads = new NestThreads(jobsOf([broken, broken]))
  expect(() => threads.result(0)).toThrow(/./)
  expect(() => threads.result(1)).toThrow(/./)
  threads.close()
})
