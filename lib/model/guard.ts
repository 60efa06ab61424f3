import { runInThisContext } from 'node:vm'

/**
 * Runs `work` and cuts it off after `limit` milliseconds, even inside an endless loop, by having V8 end the running
 * script. Gives `'timeout'` then; whatever `work` threw otherwise passes through.
 *
 * The watch is V8's own (`vm` with a timeout), so it cannot be caught or outrun by the author's code. It costs one
 * timer thread, so guard a whole evaluation rather than each call.
 */
export function guarded<T>(limit: number, work: () => T): { value: T } | 'timeout' {
  const key = Symbol.for('cardwright.guarded')
  const holder = globalThis as unknown as Record<symbol, unknown>
  let outcome: { value: T } | undefined
  holder[key] = () => {
    outcome = { value: work() }
  }
  try {
    runInThisContext(`globalThis[Symbol.for('cardwright.guarded')]()`, { timeout: limit, displayErrors: false })
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ERR_SCRIPT_EXECUTION_TIMEOUT') return 'timeout'
    throw error
  } finally {
    delete holder[key]
  }
  return outcome!
}
