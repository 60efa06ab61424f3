export interface Thrown {
  /** What kind of error, where JavaScript's own word says it: `TypeError`. */
  readonly name?: string
  readonly text: string
  readonly remedy?: string
}

/**
 * What JavaScript threw in an author's file, in words, and what to do about it where that is known.
 *
 * The compiler writes an imported `famly` as `(0, _cardwright.famly)`; authors are told the name that they wrote.
 */
export function thrownWords(error: unknown): Thrown {
  if (!(error instanceof Error)) return { text: `${typeof error === 'string' ? JSON.stringify(error) : String(error)} was thrown` }
  if (error instanceof RangeError && /call stack/.test(error.message)) {
    return {
      text: 'the functions call each other too deeply',
      remedy: 'look for a function that calls itself without end',
    }
  }
  const name = error.name
  const text = error.message.replace(/\(0 ?, ?_\w+\.(\w+)\)/g, '$1').replace(/\b_\w+\.(?=\w)/g, '')
  if (error instanceof ReferenceError && /before initialization/.test(error.message)) {
    return {
      name,
      text,
      remedy:
        'write it above the line that uses it; where two files import each other, move what both need to a third one',
    }
  }
  return 'syscall' in error ? { text, remedy: FILE_REMEDY } : { name, text }
}

/** For what the system refused: a file that is not there, is a folder, or may not be touched. */
export const FILE_REMEDY = 'see that it is there, is what it should be, and that you may read and write it'
