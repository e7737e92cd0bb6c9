/** What is picked on the bench, as it stands in the address: `?finding=KEY&place=ID`. */

export interface Selection {
  finding: string | null;
  place: string | null;
}

export function selectionOf(search: string): Selection {
  const params = new URLSearchParams(search);
  return { finding: params.get('finding') || null, place: params.get('place') || null };
}

export function searchOf(selection: Selection): string {
  const params = new URLSearchParams();
  if (selection.finding) params.set('finding', selection.finding);
  if (selection.place) params.set('place', selection.place);
  const text = params.toString();
  return text === '' ? '' : `?${text}`;
}
