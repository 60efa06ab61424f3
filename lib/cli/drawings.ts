import { join, resolve } from 'node:path'
import { replaceFile } from './replaceFile'
import { within, type Workshop } from './workshop'
import { unwritten } from './write'

/**
 * Writes a drawing or an export: to the file asked for, else below the model's output folder. It is swapped in whole.
 *
 * @returns the file, as seen from the project
 * @throws FindingError for a file that cannot be written
 */
export function writeDrawing(workshop: Workshop, model: string, asked: string | undefined, name: string, content: string | Uint8Array): string {
  const file = asked === undefined ? join(workshop.out, model, 'drawings', name) : resolve(asked)
  try {
    replaceFile(file, content)
  } catch (error) {
    throw unwritten(asked ?? within(workshop.root, file), error, 'give a file in a folder of yours with --file')
  }
  return asked ?? within(workshop.root, file)
}
