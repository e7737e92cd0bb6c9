/**
 * A drawing from the program, made safe to stand in the page: only plain shapes and their geometry pass,
 * so that it takes the page's ink and no part's name can carry anything else in.
 */

const SHAPES = new Set(['svg', 'g', 'path', 'polygon', 'polyline', 'rect', 'circle', 'ellipse', 'line']);
const ATTRIBUTES = new Set([
  'viewBox', 'd', 'points', 'x', 'y', 'x1', 'y1', 'x2', 'y2', 'cx', 'cy', 'r', 'rx', 'ry', 'width', 'height',
  'transform', 'fill', 'fill-rule', 'fill-opacity', 'stroke', 'stroke-width', 'stroke-dasharray',
  'stroke-linecap', 'stroke-linejoin', 'opacity', 'vector-effect', 'class',
]); // prettier-ignore

function strip(element: Element): void {
  for (const child of Array.from(element.children)) {
    if (SHAPES.has(child.tagName)) strip(child);
    else child.remove();
  }
  for (const { name, value } of Array.from(element.attributes)) {
    const leadsAway = /url\(|:\/\/|javascript:/i.test(value);
    if (!ATTRIBUTES.has(name) || leadsAway) element.removeAttribute(name);
  }
}

/** The drawing as an element, or nothing when the text is no drawing. */
export function safeOutline(svg: string): Element | null {
  const root = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
  if (root.tagName !== 'svg') return null;
  strip(root);
  root.setAttribute('aria-hidden', 'true');
  root.setAttribute('focusable', 'false');
  return root;
}
