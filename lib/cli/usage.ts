import { FindingError } from '../finding/finding'

/** The command was used wrongly: exit code 2, one line, and what to write instead. */
export class UsageError extends Error {
  override readonly name = 'UsageError'
  readonly remedy: string

  constructor(text: string, remedy: string) {
    super(text)
    this.remedy = remedy
  }
}

/**
 * What the work gives; what is wrong with what was asked for, unlike a full disk, as a misuse of the command.
 *
 * @param option said before the text: `--page: `
 * @throws UsageError in place of a FindingError
 */
export function asked<T>(work: () => T, option = ''): T {
  try {
    return work()
  } catch (error) {
    if (!(error instanceof FindingError) || error.finding.id === 'write') throw error
    throw new UsageError(`${option}${error.finding.text}`, error.finding.remedy)
  }
}
