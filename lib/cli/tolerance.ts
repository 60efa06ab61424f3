import { mm } from '../length/length'
import { parseBenchLength } from '../length/parse'
import { asked, UsageError } from './usage'

/** What `--within` says, mm; undefined where it is not given. @throws UsageError for what is no length, or below 0 */
export function toleranceOption(text: string | undefined): number | undefined {
  if (text === undefined) return undefined
  const value = asked(() => mm(parseBenchLength(text, '--within')))
  if (value >= 0) return value
  throw new UsageError(`--within ${text} is below 0`, 'write it like --within 0.2mm')
}
