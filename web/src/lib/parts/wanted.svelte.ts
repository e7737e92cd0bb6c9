/**
 * The field somebody is led to, by the id `fieldId.ts` gives it. What is folded up or left out of a long list
 * is not on the page until it is wanted; whoever holds the field unfolds it then.
 */

let id = $state('');

export const wantedField = (): string => id;

export function wantField(field: string): void {
  id = field;
}

/** The number of the row, among those whose fields have ids that begin so, in which the wanted field stands. */
export function wantedRow(stem: string): number | null {
  const rest = id.startsWith(`${stem}-`) ? id.slice(stem.length + 1) : '';
  const number = /^(\d+)-/.exec(rest)?.[1];
  return number === undefined ? null : Number(number);
}
