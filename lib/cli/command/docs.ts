import { optionsPage } from '../help'
import { EXIT } from '../options'

export async function docs(): Promise<number> {
  process.stdout.write(`${optionsPage()}\n`)
  return EXIT.good
}
