/** Adds to the list under a key, which is made where there is none. */
export function addTo<Key, Thing>(lists: Map<Key, Thing[]>, key: Key, thing: Thing): void {
  const list = lists.get(key)
  if (list) list.push(thing)
  else lists.set(key, [thing])
}
