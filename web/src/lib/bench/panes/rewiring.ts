/** What a choice of two pads means for the wires: a plain function, so that it can be tested alone. */
import type { WireView } from '$lib/api/types/WireView';

export type Edit = Record<string, unknown>;
export interface Rewire {
  /** In words, for the journal and for those who do not see the picture. */
  says: string;
  edit: Edit;
}

const set = (row: number, key: 'from' | 'to' | 'gauge' | 'colour', text: string | null) => ({
  do: 'set_craft_row',
  table: 'wire',
  row,
  key,
  text,
});

/**
 * From one pad to another. Already joined: the wire goes. A wire at the first: its other end moves to the second. None at the
 * first, one at the second: that one's other end moves to the first. None at either: a new wire.
 */
export function rewire(wires: WireView[], first: string, second: string): Rewire {
  const ends = (wire: WireView, pad: string) => wire.from === pad || wire.to === pad;
  const joined = wires.find((wire) => ends(wire, first) && ends(wire, second));
  if (joined) {
    return {
      says: `The wire between ${first} and ${second} is taken out`,
      edit: { do: 'remove_craft_row', table: 'wire', row: joined.row },
    };
  }
  for (const [pad, to] of [
    [first, second],
    [second, first],
  ] as const) {
    const at = wires.filter((wire) => ends(wire, pad));
    const only = at[0];
    if (only && at.length === 1) {
      const key = only.from === pad ? 'to' : 'from';
      return {
        says: `The wire at ${pad} now goes to ${to}`,
        edit: set(only.row, key, to),
      };
    }
  }
  return {
    says: `A wire from ${first} to ${second}`,
    edit: { do: 'add_craft_row', table: 'wire', values: { from: first, to: second } },
  };
}

/** Another gauge or colour of a wire; an empty one takes what is said away. Null where nothing changes. */
export function described(wire: WireView, key: 'gauge' | 'colour', said: string): Rewire | null {
  const before = key === 'gauge' ? wire.gauge?.toString() : wire.colour;
  const text = said.trim();
  if (text === (before ?? '')) return null;
  const which = `The wire from ${wire.from} to ${wire.to}`;
  return {
    says: text === '' ? `${which} has no ${key} said any more` : `${which} is of ${key} ${text}`,
    edit: set(wire.row, key, text === '' ? null : text),
  };
}

const place = (pad: string) => pad.slice(0, pad.indexOf('/'));

/** Two wires between the same two parts with their ends at one part exchanged; null where they have no part in common. */
export function swapped(one: WireView, other: WireView): Edit | null {
  for (const a of ['to', 'from'] as const) {
    for (const b of ['to', 'from'] as const) {
      if (place(one[a]) !== place(other[b])) continue;
      // Inside one step changes carry the mark by which the journal keeps them.
      const inner = ({ do: mark, ...rest }: ReturnType<typeof set>) => ({ edit: mark, ...rest });
      const edits = [inner(set(one.row, a, other[b])), inner(set(other.row, b, one[a]))];
      return { do: 'together', what: `Swap the wires at ${one[a]} and ${other[b]}`, edits };
    }
  }
  return null;
}
