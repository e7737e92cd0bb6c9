/** What parts, places and craft may carry: asked for once, the same for the life of the page. */
import { get } from './client';
import type { FieldView } from './types/FieldView';
import type { KindView } from './types/KindView';
import type { SchemaView } from './types/SchemaView';

let known = $state.raw<SchemaView | null>(null);
let asked = false;

async function load(): Promise<void> {
  const answer = await get<SchemaView>('/schema');
  if ('got' in answer) known = answer.got;
  else asked = false;
}

/** The schema, or nothing until it is here. */
export function schema(): SchemaView | null {
  if (!asked) {
    asked = true;
    void load();
  }
  return known;
}

export function kindOf(from: SchemaView | null, word: string): KindView | null {
  return from?.kinds.find((kind) => kind.word === word) ?? null;
}

export function fieldOf(fields: readonly FieldView[], key: string): FieldView | null {
  return fields.find((field) => field.key === key) ?? null;
}
