/** How large the wiring is shown, and what of it lies outside its frame. */

/** Pixels a mm at which the smallest letters can just be read. */
const LEAST = 3.3;
/** Pixels a mm at which they are comfortable. */
const LARGE = 4.8;

/** As wide as there is room for, while its letters can be read. */
export function pixelsPerMm(room: number, width: number, large: boolean): number {
  if (large || room <= 0 || width <= 0) return LARGE;
  return Math.min(LARGE, Math.max(LEAST, room / width));
}

interface Pad {
  part: string;
  at: [number, number] | null;
}

/** The parts that are not wholly in the frame, in the order of the diagram. */
export function offSides(pads: Pad[], scale: number, scrolled: number, room: number): string[] {
  if (room <= 0) return [];
  const spans = new Map<string, [number, number]>();
  for (const pad of pads) {
    if (pad.at === null) continue;
    const x = pad.at[0] * scale;
    const [least, most] = spans.get(pad.part) ?? [x, x];
    spans.set(pad.part, [Math.min(least, x), Math.max(most, x)]);
  }
  const out = [...spans].filter(([, [least, most]]) => least < scrolled - 1 || most > scrolled + room + 1);
  return out.sort((a, b) => a[1][0] - b[1][0]).map(([part]) => part);
}
