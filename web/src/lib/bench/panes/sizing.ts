/** How wide a chart is asked for, and how it becomes an image. */

/** A letter of a picture is 3.4 mm high; at so many pixels a mm it is 14 pixels. */
const PIXELS_A_MM = 4.2;
/** A phone held upright. */
const LEAST_MM = 60;
/** So that a dragged window does not ask at every pixel. */
const STEP_MM = 4;

/** How many mm wide a picture is that has so many pixels, and is no wider than the most. */
export const millimetresOf = (pixels: number, most: number): number =>
  Math.min(most, Math.max(LEAST_MM, Math.floor(pixels / PIXELS_A_MM / STEP_MM) * STEP_MM));

/** How wide it stands on the screen. */
export const pixelsOf = (millimetres: number): string => `${millimetres * PIXELS_A_MM}px`;

/** An image of the drawing itself, with a style of its own if it has one. */
export function asImage(svg: string, style = ''): string {
  const styled = style === '' ? svg : svg.replace(/<svg[^>]*>/, (head) => `${head}<style>${style}</style>`);
  return `data:image/svg+xml,${encodeURIComponent(styled)}`;
}
