/** What of a long list is put on the page. */

/** The first `most`, and after them those that must be seen wherever they stand. */
export function shownOf<T>(items: readonly T[], most: number, must: (item: T) => boolean): readonly T[] {
  if (items.length <= most) return items;
  return [...items.slice(0, most), ...items.slice(most).filter(must)];
}
