import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import type { Changes } from '../revision/changes'
import { overlayOf } from '../revision/overlay'
import { svgOf } from '../sheet/svg'
import { xmlId } from '../sheet/xml'
import { type OutFile, unwritten } from './write'

/** The overlays of all reshaped pieces, as files below a folder. */
export function overlayFiles(models: readonly Changes[], [before, after]: readonly [string, string]): OutFile[] {
  return models.flatMap(({ model, title, scaleName, pieces }) =>
    pieces.flatMap((change) => {
      const drawing = overlayOf({ change, title: `${title} ${scaleName}`, before, after })
      return drawing ? [{ path: `${model}/${xmlId(change.mark)}${ENDING}`, content: svgOf(drawing) }] : []
    }),
  )
}

/**
 * Writes the overlays and removes those of an earlier run, by the ending of their names; nothing else is touched.
 *
 * @throws FindingError where the folder cannot be written to
 */
export function writeOverlays(folder: string, models: readonly Changes[], labels: readonly [string, string]): void {
  const files = overlayFiles(models, labels)
  try {
    for (const { model } of models) {
      const own = join(resolve(folder), model)
      mkdirSync(own, { recursive: true })
      const wanted = new Set(files.map(({ path }) => path))
      for (const name of readdirSync(own)) {
        if (name.endsWith(ENDING) && !wanted.has(`${model}/${name}`)) rmSync(join(own, name))
      }
    }
    for (const { path, content } of files) {
      mkdirSync(dirname(join(folder, path)), { recursive: true })
      writeFileSync(join(folder, path), content)
    }
  } catch (error) {
    throw unwritten(folder, error, 'name another folder for --svg')
  }
}

const ENDING = '.overlay.svg'
