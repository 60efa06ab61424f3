import { join, resolve } from 'node:path'
import { replaceFile } from './replaceFile'
import { UsageError } from './usage'
import { within, type Workshop } from './workshop'

/**
 * Writes a drawing or an export: to the file asked for, else below the model's output folder. It is swapped in whole.
 *
 * @returns the file, as seen from the project
 * @throws UsageError for a file that cannot be written
 */
export function writeDrawing(workshop: Workshop, model: string, asked: string | undefined, name: string, content: string | Uint8Array): string {
  const file = asked === undefined ? join(workshop.out, model, 'drawings', name) : resolve(asked)
  try {
    replaceFile(file, content)
  } catch (error) {
    const { code } = ((error as Error).cause ?? error) as NodeJS.ErrnoException
    throw new UsageError(`${asked ?? within(workshop.root, file)} could not be written (${code})`, 'give a file in a folder of yours with --file')
  }
  return asked ?? within(workshop.root, file)
}
