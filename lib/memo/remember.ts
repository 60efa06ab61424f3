/**
 * Where results of pure work are kept by their whole input, so that a build after an edit does only what the edit
 * touched. Set by a command that may build again; without one everything is worked out, with the same result. Results
 * are shared, as all plain data here: nobody may change them in place.
 */
export interface Remembering {
  get<T>(work: string, input: string, make: () => T): T
}

let current: Remembering | undefined

export function rememberIn(where: Remembering | undefined): void {
  current = where
}

/**
 * What `make` gives, or gave before for the same input.
 *
 * @param input says all that `make` looks at, exactly; asked for only where results are kept
 */
export function remembered<T>(work: string, input: () => string, make: () => T): T {
  return current ? current.get(work, input(), make) : make()
}

/** Lines of numbers as a text that is the same for the same numbers only, and many times quicker made than JSON. */
export function exactly(lines: readonly (readonly (readonly number[])[])[]): string {
  let size = lines.length + 1
  for (const line of lines) for (const point of line) size += point.length
  const all = new Float64Array(size)
  let at = 0
  all[at++] = lines.length
  for (const line of lines) {
    all[at++] = line.length
    for (const point of line) for (const number of point) all[at++] = number
  }
  return Buffer.from(all.buffer).toString('latin1')
}

/** JSON of a value that nobody changes, made once. */
export function textOf(value: object): string {
  let text = texts.get(value)
  if (text === undefined) texts.set(value, (text = JSON.stringify(value)))
  return text
}

const texts = new WeakMap<object, string>()
