/**
 * From where the craft is looked at: a parallel view, as technical drawings have. Azimuth turns about z:
 * at 0 the eye stands ahead of the craft, at 90 to its left; at elevation 90 it looks straight down. Lengths on screen follow from `mmPerPixel`.
 */
export type Point = readonly [number, number, number];

export interface Sight {
  /** Degrees. */
  azimuth: number;
  /** Degrees above the horizontal. */
  elevation: number;
  mmPerPixel: number;
  target: Point;
}

export type NamedView = 'top' | 'side' | 'front' | 'three-quarter';
export const VIEWS: readonly { view: NamedView; word: string; key: string }[] = [
  { view: 'top', word: 'Top', key: '1' },
  { view: 'side', word: 'Side', key: '2' },
  { view: 'front', word: 'Front', key: '3' },
  { view: 'three-quarter', word: 'Three-quarter', key: '4' },
];

const ANGLES: { [view in NamedView]: { azimuth: number; elevation: number } } = {
  // From above with the nose up on the page; from the right with the nose to the right; from ahead.
  top: { azimuth: 180, elevation: 90 },
  side: { azimuth: -90, elevation: 0 },
  front: { azimuth: 0, elevation: 0 },
  'three-quarter': { azimuth: -35, elevation: 28 },
};

export function named(sight: Sight, view: NamedView): Sight {
  return { ...sight, ...ANGLES[view] };
}

/** Turned by a drag or by keys; never over the pole. */
export function turned(sight: Sight, azimuth: number, elevation: number): Sight {
  const around = ((((sight.azimuth + azimuth + 180) % 360) + 360) % 360) - 180;
  return { ...sight, azimuth: around, elevation: Math.min(90, Math.max(-90, sight.elevation + elevation)) };
}

/** Larger for a factor above one; between half a metre and a hair across the sheet. */
export function enlarged(sight: Sight, factor: number): Sight {
  return { ...sight, mmPerPixel: Math.min(5, Math.max(0.002, sight.mmPerPixel / factor)) };
}

/** So that a ball fills most of the sheet. */
export function framed(sight: Sight, middle: Point, radius: number, width: number, height: number): Sight {
  const across = Math.max(1, Math.min(width, height));
  return enlarged({ ...sight, target: middle, mmPerPixel: (2.3 * Math.max(radius, 0.5)) / across }, 1);
}

/** So that all points just find room on the sheet as it is looked at. */
export function fitted(sight: Sight, points: readonly Point[], width: number, height: number): Sight {
  if (points.length === 0) return sight;
  const { right, up, eye } = axes(sight);
  const range = (axis: Point) => {
    let [least, most] = [Infinity, -Infinity];
    for (const point of points) {
      const at = dot(point, axis);
      least = Math.min(least, at);
      most = Math.max(most, at);
    }
    return { middle: (least + most) / 2, length: most - least };
  };
  const [x, y, z] = [range(right), range(up), range(eye)];
  const target: Point = [
    right[0] * x.middle + up[0] * y.middle + eye[0] * z.middle,
    right[1] * x.middle + up[1] * y.middle + eye[1] * z.middle,
    right[2] * x.middle + up[2] * y.middle + eye[2] * z.middle,
  ];
  const room = 1.12;
  const mmPerPixel = Math.max(
    (x.length * room) / Math.max(1, width),
    (y.length * room) / Math.max(1, height),
    0.01,
  );
  return enlarged({ ...sight, target, mmPerPixel }, 1);
}

/** Unit axes of the picture: right and up on the page, and toward the eye. */
export function axes(sight: Sight): { right: Point; up: Point; eye: Point } {
  const a = (sight.azimuth * Math.PI) / 180;
  const e = (sight.elevation * Math.PI) / 180;
  return {
    right: [-Math.sin(a), Math.cos(a), 0],
    up: [-Math.sin(e) * Math.cos(a), -Math.sin(e) * Math.sin(a), Math.cos(e)],
    eye: [Math.cos(e) * Math.cos(a), Math.cos(e) * Math.sin(a), Math.sin(e)],
  };
}

const dot = (a: Point, b: Point): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const less = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];

/** Where a point of the craft stands on the page, in pixels from its upper left corner. */
export function onPage(sight: Sight, width: number, height: number, point: Point): [number, number] {
  const { right, up } = axes(sight);
  const from = less(point, sight.target);
  return [width / 2 + dot(from, right) / sight.mmPerPixel, height / 2 - dot(from, up) / sight.mmPerPixel];
}

/** Millimetres along an axis that a drag over the page means; nothing when the axis points at the eye. */
export function along(sight: Sight, axis: Point, dx: number, dy: number): number {
  const { right, up } = axes(sight);
  const [x, y] = [dot(axis, right), -dot(axis, up)];
  const length = x * x + y * y;
  return length < 0.02 ? 0 : ((dx * x + dy * y) / length) * sight.mmPerPixel;
}

/** The sight turned as little as needed for a line to be seen at nearly its full length. */
export function acrossLine(sight: Sight, from: Point, to: Point): Sight {
  const line = less(to, from);
  const length = Math.sqrt(dot(line, line));
  if (length < 1e-6) return sight;
  const seen = (one: Sight) => 1 - Math.abs(dot(line, axes(one).eye)) / length;
  const tries = [sight];
  for (const elevation of [28, 10, 50, 75]) {
    for (const turn of [0, 25, -25, 50, -50, 75, -75, 100, -100, 130, -130, 180]) {
      tries.push(turned({ ...sight, elevation }, turn, 0));
    }
  }
  return tries.find((one) => seen(one) > 0.45) ?? sight;
}

/** Part of the way from one sight to another, for a motion that shows where one has gone. */
export function between(from: Sight, to: Sight, share: number): Sight {
  const mix = (a: number, b: number) => a + (b - a) * share;
  const turn = ((((to.azimuth - from.azimuth + 180) % 360) + 360) % 360) - 180;
  return {
    azimuth: from.azimuth + turn * share,
    elevation: mix(from.elevation, to.elevation),
    mmPerPixel: Math.exp(mix(Math.log(from.mmPerPixel), Math.log(to.mmPerPixel))),
    target: [
      mix(from.target[0], to.target[0]),
      mix(from.target[1], to.target[1]),
      mix(from.target[2], to.target[2]),
    ],
  };
}
