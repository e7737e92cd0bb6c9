/** The edits the store keeps, in the same words. */

/** Values of a new row, by key, as text in the grammar of sheets. */
export type RowTexts = { [key: string]: string };

export type PartEdit =
  | { do: 'set_part'; part: string; key: string; text: string | null }
  | { do: 'set_row'; part: string; table: string; row: number; key: string; text: string | null }
  | { do: 'add_row'; part: string; table: string; values: RowTexts }
  | { do: 'remove_row'; part: string; table: string; row: number }
  | { do: 'rename_part'; part: string; name: string };

export type CraftEdit =
  | PartEdit
  | { do: 'set_place'; place: string; key: string; text: string | null }
  | { do: 'move_place'; place: string; x: number | null; y: number | null; z: number | null }
  | { do: 'add_part'; kind: string; name: string }
  | { do: 'add_place'; part: string; on: string | null }
  | { do: 'remove_place'; place: string }
  | { do: 'remove_part'; part: string }
  | { do: 'set_craft'; key: string; text: string | null };
