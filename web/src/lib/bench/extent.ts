/** The space solids take, from the corners of their boxes. Plain numbers: the page needs it before any drawing. */
import type { SolidView } from '$lib/api/types/SolidView';
import type { Point } from './sight';

/** A direction turned by a unit quaternion (x, y, z, w). */
export function turnedBy(pose: SolidView['pose'], point: Point): Point {
  const [qx, qy, qz, qw] = pose.rotation;
  const [x, y, z] = point;
  // t = 2 q × p; p' = p + w t + q × t
  const t = [2 * (qy * z - qz * y), 2 * (qz * x - qx * z), 2 * (qx * y - qy * x)] as const;
  return [
    x + qw * t[0] + (qy * t[2] - qz * t[1]),
    y + qw * t[1] + (qz * t[0] - qx * t[2]),
    z + qw * t[2] + (qx * t[1] - qy * t[0]),
  ];
}

/** A point turned, then shifted. */
export function posed(pose: SolidView['pose'], point: Point): Point {
  const [x, y, z] = turnedBy(pose, point);
  return [x + pose.at[0], y + pose.at[1], z + pose.at[2]];
}

function ownBox(solid: SolidView): { least: Point; most: Point } {
  const { shape } = solid;
  if ('box' in shape) {
    const [x, y, z] = shape.box.size;
    return { least: [-x / 2, -y / 2, -z / 2], most: [x / 2, y / 2, z / 2] };
  }
  if ('cylinder' in shape) {
    const { radius, length } = shape.cylinder;
    return { least: [-radius, -radius, -length / 2], most: [radius, radius, length / 2] };
  }
  const xs = shape.prism.outline.map(([x]) => x);
  const ys = shape.prism.outline.map(([, y]) => y);
  return {
    least: [Math.min(...xs), Math.min(...ys), 0],
    most: [Math.max(...xs), Math.max(...ys), shape.prism.thickness],
  };
}

/** The corners of the boxes of some solids, in the craft's frame. */
export function cornersOf(solids: readonly SolidView[]): Point[] {
  return solids.flatMap((solid) => {
    const { least, most } = ownBox(solid);
    const corners: Point[] = [];
    for (const x of [least[0], most[0]])
      for (const y of [least[1], most[1]])
        for (const z of [least[2], most[2]]) corners.push(posed(solid.pose, [x, y, z]));
    return corners;
  });
}

/** The middle of the box round some points, and how far its corners are; nothing when there are none. */
export function ballOf(points: readonly Point[]): { middle: Point; radius: number } | null {
  if (points.length === 0) return null;
  const range = (axis: 0 | 1 | 2) => {
    let [least, most] = [Infinity, -Infinity];
    for (const point of points) {
      least = Math.min(least, point[axis]);
      most = Math.max(most, point[axis]);
    }
    return { middle: (least + most) / 2, half: (most - least) / 2 };
  };
  const [x, y, z] = [range(0), range(1), range(2)];
  return { middle: [x.middle, y.middle, z.middle], radius: Math.hypot(x.half, y.half, z.half) };
}

/** The solids of each place that has any. */
export function byPlace(solids: readonly SolidView[]): Map<string, SolidView[]> {
  const found = new Map<string, SolidView[]>();
  for (const solid of solids) {
    const there = found.get(solid.place);
    if (there) there.push(solid);
    else found.set(solid.place, [solid]);
  }
  return found;
}

/** What a solid is in one line, for those who do not see the drawing. */
export function solidWords(solid: SolidView): string {
  const mm = (value: number) => String(Number(value.toFixed(1)));
  const { shape } = solid;
  const [x, y, z] = solid.pose.at;
  const size =
    'box' in shape
      ? shape.box.size.map(mm).join(' × ')
      : 'cylinder' in shape
        ? `round, ${mm(2 * shape.cylinder.radius)} across, ${mm(shape.cylinder.length)} long`
        : `plate, ${mm(shape.prism.thickness)} thick`;
  return `${solid.name}: ${solid.role}, ${size}, at ${mm(x)}, ${mm(y)}, ${mm(z)}`;
}
