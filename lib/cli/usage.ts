/** The command was used wrongly: exit code 2, one line, and what to write instead. */
export class UsageError extends Error {
  override readonly name = 'UsageError'
  readonly remedy: string

  constructor(text: string, remedy: string) {
    super(text)
    this.remedy = remedy
  }
}
