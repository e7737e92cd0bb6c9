/** What a part can be seated on, and where it would be expected to sit. */
import type { PlaceView } from '$lib/api/types/PlaceView';

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
