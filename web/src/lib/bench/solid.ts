/** Solids of the program as geometry to draw. */
import type { ShapeView } from '$lib/api/types/ShapeView';
import type { SolidView } from '$lib/api/types/SolidView';
import {
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
