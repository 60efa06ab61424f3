import { type Bench, onBench } from '../length/bench'
import { lengthError } from '../length/length'

/** Runs `work` at the subject's own size, some dimensions standing off what the survey says by so many mm. */
export function onFullSize<T>(moved: ReadonlyMap<string, number>, work: () => T): T {
  return onBench({ ...FULL_SIZE, moved }, work)
}

const FULL_SIZE: Bench = {
  scale: { ratio: 1, name: '1:1' },
  thickness: (stock) => {
    throw lengthError(`a formula of the survey asked for the thickness of "${stock}"`, 'keep to the sizes of the subject')
  },
}
