/** Solids of the program as geometry to draw, and the space they take. */
import type { ShapeView } from '$lib/api/types/ShapeView';
import type { SolidView } from '$lib/api/types/SolidView';
import {
  Box3,
  BoxGeometry,
  CylinderGeometry,
  ExtrudeGeometry,
  Matrix4,
  Path,
  Quaternion,
  Shape,
  Vector2,
  Vector3,
  type BufferGeometry,
} from 'three';
import type { Bounds } from './sight';

const ROUND = 32;

/** In the solid's own frame: boxes and cylinders about the origin, cylinders along z, prisms from z = 0 up. */
export function geometryOf(shape: ShapeView): BufferGeometry {
  if ('box' in shape) return new BoxGeometry(...shape.box.size);
  if ('cylinder' in shape) {
    const { radius, length } = shape.cylinder;
    return new CylinderGeometry(radius, radius, length, ROUND).rotateX(Math.PI / 2);
  }
  const { outline, holes, thickness } = shape.prism;
  const face = new Shape(outline.map(([x, y]) => new Vector2(x, y)));
  face.holes = holes.map((hole) => new Path(hole.map(([x, y]) => new Vector2(x, y))));
  return new ExtrudeGeometry(face, { depth: thickness, bevelEnabled: false });
}

/** From the solid's own frame to the craft's. */
export function matrixOf(solid: SolidView): Matrix4 {
  const { at, rotation } = solid.pose;
  return new Matrix4().compose(new Vector3(...at), new Quaternion(...rotation), new Vector3(1, 1, 1));
}

function boxOf(solid: SolidView): Box3 {
  const { shape } = solid;
  const box = new Box3();
  if ('box' in shape) {
    const half = new Vector3(...shape.box.size).multiplyScalar(0.5);
    box.set(half.clone().negate(), half);
  } else if ('cylinder' in shape) {
    const { radius, length } = shape.cylinder;
    box.set(new Vector3(-radius, -radius, -length / 2), new Vector3(radius, radius, length / 2));
  } else {
    for (const [x, y] of shape.prism.outline) {
      box.expandByPoint(new Vector3(x, y, 0)).expandByPoint(new Vector3(x, y, shape.prism.thickness));
    }
  }
  return box.applyMatrix4(matrixOf(solid));
}

/** The ball round some solids; nothing when there are none. */
export function boundsOf(solids: readonly SolidView[]): Bounds | null {
  const box = new Box3();
  for (const solid of solids) box.union(boxOf(solid));
  if (box.isEmpty()) return null;
  const middle = box.getCenter(new Vector3());
  const size = box.getSize(new Vector3());
  return { middle: [middle.x, middle.y, middle.z], radius: size.length() / 2 };
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
