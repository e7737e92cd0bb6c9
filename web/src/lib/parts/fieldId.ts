/** Ids of fields on the page, so that a finding can lead to the very field its fact is entered in. */
import type { Target } from '$lib/api/types/Target';

const plain = (text: string): string => text.replace(/[^A-Za-z0-9_-]/g, '_');

export const partFieldId = (part: string, key: string): string => `part-${plain(part)}-${plain(key)}`;
export const placeFieldId = (place: string, key: string): string => `place-${plain(place)}-${plain(key)}`;
export const craftFieldId = (key: string): string => `craft-${plain(key)}`;
/** The button that adds a row to a table. */
export const tableId = (part: string, table: string): string => `table-${plain(part)}-${plain(table)}`;
/** What the ids of all rows of a table begin with. */
export const rowsId = (part: string, table: string): string => `row-${plain(part)}-${plain(table)}`;
export const rowId = (part: string, table: string, row: number): string => `${rowsId(part, table)}-${row}`;
export const rowFieldId = (part: string, table: string, row: number, key: string): string =>
  `${rowId(part, table, row)}-${plain(key)}`;

export function fieldIdOf(target: Target): string {
  if (target.owner === 'craft') return craftFieldId(target.key);
  if (target.owner === 'place') return placeFieldId(target.id, target.key);
  if (target.table === null || target.row === null) return partFieldId(target.id, target.key);
  return rowFieldId(target.id, target.table, target.row, target.key);
}

/** Opens whatever is folded round a field, brings it into view and puts the cursor in it. */
export function focusField(id: string): boolean {
  const field = document.getElementById(id);
  if (!field) return false;
  for (let fold = field.closest('details'); fold; fold = fold.parentElement?.closest('details') ?? null) {
    fold.open = true;
  }
  field.scrollIntoView({ block: 'center' });
  field.focus({ preventScroll: true });
  return true;
}
