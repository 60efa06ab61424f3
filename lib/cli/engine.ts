import { setFlagsFromString } from 'node:v8'

/**
 * Has V8 wait longer before it optimizes a function. A command is over in seconds and runs much code a few times each:
 * at V8's own setting the optimizing compiler takes a fifth of a build's processor time, most of it for functions that
 * are hardly called again. It can change no result. Only for the V8 of Node 20, where it was measured: later ones have
 * a quick compiler in between. And not for what stays and does the same again and again, which is worth optimizing.
 */
export function tuneEngine([command, ...words]: readonly string[]): void {
  const stays = command === 'view' || words.includes('--watch')
  if (!stays && process.versions.v8.startsWith('11.')) setFlagsFromString(`--interrupt-budget=${INTERRUPT_BUDGET}`)
}

/** Bytes of bytecode run in a function before V8 looks at it; its own default is 67584. */
const INTERRUPT_BUDGET = 400_000
