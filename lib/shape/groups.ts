/** Things in groups, each at first in one of its own (B. A. Galler and M. J. Fischer, 1964). */
export class Groups<Thing> {
  private readonly above = new Map<Thing, Thing>()

  /** Makes one group of the groups of two things. */
  join(one: Thing, other: Thing): void {
    const [top, below] = [this.first(one), this.first(other)]
    if (top !== below) this.above.set(below, top)
  }

  together(one: Thing, other: Thing): boolean {
    return this.first(one) === this.first(other)
  }

  /** Groups of the things given, both in their order. */
  of(things: readonly Thing[]): Thing[][] {
    const groups = new Map<Thing, Thing[]>()
    for (const thing of things) {
      const first = this.first(thing)
      const group = groups.get(first)
      if (group) group.push(thing)
      else groups.set(first, [thing])
    }
    return [...groups.values()]
  }

  private first(thing: Thing): Thing {
    let top = thing
    for (let next = this.above.get(top); next !== undefined; next = this.above.get(top)) top = next
    // The way there is short the next time.
    for (let at = thing; at !== top; ) {
      const next = this.above.get(at)!
      this.above.set(at, top)
      at = next
    }
    return top
  }
}
