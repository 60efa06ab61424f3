/** polylabel ships no types. The label point, with its distance to the nearest edge. */
declare module 'polylabel' {
  export default function polylabel(
    polygon: readonly (readonly (readonly [number, number])[])[],
    precision?: number,
    debug?: boolean,
  ): [x: number, y: number] & { distance: number }
}
