/** Where a fact's path leads: `cam.body_width`, `cam.plug[0].length`, `place vtx.z`, `craft.cruise`. */
import type { Target } from '$lib/api/types/Target';

export function targetOf(path: string): Target {
  const dot = path.lastIndexOf('.');
  const stem = dot < 0 ? 'craft' : path.slice(0, dot);
  const key = path.slice(dot + 1);
  const base = { path, label: key.replaceAll('_', ' '), key, table: null, row: null };
  if (stem === 'craft') return { ...base, owner: 'craft', id: '' };
  if (stem.startsWith('place ')) return { ...base, owner: 'place', id: stem.slice('place '.length) };
  const inRow = /^([^.]+)\.([^.[]+)\[(\d+)\]$/.exec(stem);
  if (inRow) {
    return { ...base, owner: 'part', id: inRow[1] ?? stem, table: inRow[2] ?? null, row: Number(inRow[3]) };
  }
  return { ...base, owner: 'part', id: stem };
}

/** What the guide asks for, read from its action. */
export type Step =
  | { what: 'class' }
  | { what: 'add'; kind: string }
  | { what: 'fill'; target: Target }
  | { what: 'place'; part: string }
  | { what: 'read' };

export function stepOf(action: string): Step {
  const colon = action.indexOf(':');
  const [verb, rest] = colon < 0 ? [action, ''] : [action.slice(0, colon), action.slice(colon + 1)];
  if (verb === 'add' && rest !== '') return { what: 'add', kind: rest };
  if (verb === 'fill' && rest !== '') return { what: 'fill', target: targetOf(rest) };
  if (verb === 'place' && rest !== '') return { what: 'place', part: rest };
  if (verb === 'class') return { what: 'class' };
  return { what: 'read' };
}
