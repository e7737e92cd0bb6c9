/** Which places move along when one is moved: whatever is seated on it, and on that, and so on. */
import type { PlaceView } from '$lib/api/types/PlaceView';
import type { ValueView } from '$lib/api/types/ValueView';

export type Axis = 'x' | 'y' | 'z';

/** Where a place is to go, in mm along the axes of its seat; `null` leaves an axis and its fact alone. */
export interface Coordinates {
  x: number | null;
  y: number | null;
  z: number | null;
}

function anchorPlace(on: string | null): string | null {
  return on === null || on === 'body' ? null : (on.split('/')[0] ?? null);
}

export function movesAlong(places: readonly PlaceView[], moved: string): Set<string> {
  const found = new Set([moved]);
  // Each round finds those seated on what the last one found; a craft has no rounds, so this ends.
  for (let before = 0; before !== found.size;) {
    before = found.size;
    for (const place of places) {
      const anchor = anchorPlace(place.on);
      if (anchor !== null && found.has(anchor)) found.add(place.id);
    }
  }
  return found;
}

const number = (value: ValueView | undefined): number => (value && 'fact' in value ? value.fact.value : 0);

/** Where a place stands along its anchor's axes; nought where nothing is said. */
export function offsetOf(place: PlaceView): [number, number, number] {
  return [number(place.values.x), number(place.values.y), number(place.values.z)];
}

/** The coordinates after a shift along one axis; the others are left alone. */
export function movedBy(place: PlaceView, axis: Axis, mm: number): Coordinates {
  const [x, y, z] = offsetOf(place);
  const to = { x, y, z }[axis] + mm;
  return { x: null, y: null, z: null, [axis]: Number(to.toFixed(2)) };
}
