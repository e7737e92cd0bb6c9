/** Parts by kind, and those that match the words somebody typed. */
import type { KindView } from '$lib/api/types/KindView';
import type { PartView } from '$lib/api/types/PartView';

export interface KindGroup {
  kind: KindView;
  parts: PartView[];
}

/** All words must stand somewhere in name, kind or one of the part's texts. */
export function matches(part: PartView, kind: KindView | null, words: string): boolean {
  const texts = Object.values(part.values).flatMap((value) => (value && 'text' in value ? [value.text] : []));
  const hay = [part.name, part.id, kind?.plain ?? part.kind, ...texts].join(' ').toLowerCase();
  return words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => hay.includes(word));
}

export function byKind(parts: readonly PartView[], kinds: readonly KindView[], words: string): KindGroup[] {
  return kinds
    .map((kind) => ({
      kind,
      parts: parts.filter((part) => part.kind === kind.word && matches(part, kind, words)),
    }))
    .filter((group) => group.parts.length > 0);
}
