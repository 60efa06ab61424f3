/** Path data with y down. */
export function pathOf(loop: Float32Array): string {
  let d = ''
  for (let i = 0; i < loop.length; i += 2) {
    d += `${i === 0 ? 'M' : 'L'}${loop[i]!.toFixed(2)} ${(-loop[i + 1]!).toFixed(2)}`
  }
  return `${d}Z`
}

export function centreOf(loop: Float32Array): [number, number] {
  let [x, y] = [0, 0]
  for (let i = 0; i < loop.length; i += 2) {
    x += loop[i]!
    y += loop[i + 1]!
  }
  return [(2 * x) / loop.length, (2 * y) / loop.length]
}

export function spanOf(loop: Float32Array): { x: number; y: number; width: number; height: number } {
  let [x, y, right, top] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < loop.length; i += 2) {
    x = Math.min(x, loop[i]!)
    right = Math.max(right, loop[i]!)
    y = Math.min(y, loop[i + 1]!)
    top = Math.max(top, loop[i + 1]!)
  }
  return { x, y, width: right - x, height: top - y }
}
