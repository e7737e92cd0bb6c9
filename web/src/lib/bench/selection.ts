/** What is picked on the bench, as it stands in the address: `?finding=KEY&place=ID&pane=WORD&pane=WORD`. */

export interface Selection {
  finding: string | null;
  place: string | null;
  /** The panes of the dry fit that are open. */
  panes: string[];
}

export function selectionOf(search: string): Selection {
  const params = new URLSearchParams(search);
  return {
    finding: params.get('finding') || null,
    place: params.get('place') || null,
    panes: params.getAll('pane').filter((word) => word !== ''),
  };
}

export function searchOf(selection: Selection): string {
  const params = new URLSearchParams();
  if (selection.finding) params.set('finding', selection.finding);
  if (selection.place) params.set('place', selection.place);
  for (const word of selection.panes) params.append('pane', word);
  const text = params.toString();
  return text === '' ? '' : `?${text}`;
}
