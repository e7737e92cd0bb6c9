/** What a part can be seated on, and where one of its kind usually sits. */
import type { PartView } from '$lib/api/types/PartView';
import type { PlaceView } from '$lib/api/types/PlaceView';
import { plainText } from '$lib/parts/fact';

/** All anchors of a craft, as sheets write them: the craft itself, each feature, each place. */
export function seats(places: readonly PlaceView[], except: string | null): string[] {
  const others = places.filter((place) => place.id !== except);
  const features = others.flatMap((place) => place.features.map((feature) => `${place.id}/${feature}`));
  return ['body', ...features, ...others.map((place) => place.id)];
}

/** An anchor in words. */
export function seatWords(on: string | null): string {
  if (on === null) return 'not said yet';
  if (on === 'body') return 'the craft itself';
  const slash = on.indexOf('/');
  return slash < 0 ? `the part at ${on}` : `${on.slice(slash + 1)} of ${on.slice(0, slash)}`;
}

/** All plugs of a craft, as leads name them. */
export function plugs(places: readonly PlaceView[]): string[] {
  return places.flatMap((place) => place.plugs.map((plug) => `${place.id}/${plug}`));
}

/** The table whose rows hold parts of a kind, or the kind of part whose own seat does. */
const HELD_BY: { [kind: string]: { table: string } | { feature: string; of: string } | 'body' } = {
  frame: 'body',
  pack: 'body',
  camera: { table: 'camera_mount' },
  motor: { table: 'motor_mount' },
  antenna: { table: 'antenna_mount' },
  lens: { feature: 'lens mount', of: 'camera' },
  blades: { feature: 'shaft', of: 'motor' },
  video_transmitter: { table: 'pattern' },
  flight_controller: { table: 'pattern' },
  speed_controller: { table: 'pattern' },
  integrated_board: { table: 'pattern' },
  adapter: { table: 'pattern' },
  spacer: { table: 'pattern' },
  soft_mount: { table: 'pattern' },
};
/** Whose hole patterns boards are screwed to; a board's own pattern holds nothing. */
const CARRIERS = ['frame', 'adapter', 'printed_part'];

/** The seats usual for a kind, those still free first. */
export function usualSeats(kind: string, places: readonly PlaceView[], parts: readonly PartView[]): string[] {
  const holder = HELD_BY[kind];
  if (holder === undefined) return [];
  if (holder === 'body') return ['body'];
  const found = places.flatMap((place) => {
    if ('of' in holder) return place.kind === holder.of ? [`${place.id}/${holder.feature}`] : [];
    if (!CARRIERS.includes(place.kind)) return [];
    const rows = parts.find((part) => part.id === place.part)?.tables[holder.table] ?? [];
    const names = rows.map((row) => plainText(row.name)).filter((name) => name !== '');
    return names.map((name) => `${place.id}/${name}`);
  });
  const taken = new Set(places.map((place) => place.on));
  return [...found.filter((seat) => !taken.has(seat)), ...found.filter((seat) => taken.has(seat))];
}

/** Kinds of which one usually stands on every seat: four motors, four sets of blades. */
export const onEverySeat = (kind: string): boolean => kind === 'motor' || kind === 'blades';
