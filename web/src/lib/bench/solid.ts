/**
 * Solids of the program as geometry to draw. Boxes share one unit box and round things one unit cylinder,
 * each stretched to its sizes, so that thousands of them are drawn at one stroke; a plate has its own shape.
 */
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

/** Solids with the same form have the same geometry before they are stretched. */
export function formOf(shape: ShapeView): string {
  if ('box' in shape) return 'box';
  return 'cylinder' in shape ? 'cylinder' : JSON.stringify(shape.prism);
}

/**
 * In the solid's own frame, before it is stretched: boxes and cylinders of size 1 about the origin, cylinders
 * along z with `sides` corners, prisms from z = 0 up.
 */
export function geometryOf(shape: ShapeView, sides: number): BufferGeometry {
  if ('box' in shape) return new BoxGeometry(1, 1, 1);
  if ('cylinder' in shape) return new CylinderGeometry(1, 1, 1, sides).rotateX(Math.PI / 2);
  const { outline, holes, thickness } = shape.prism;
  const face = new Shape(outline.map(([x, y]) => new Vector2(x, y)));
  face.holes = holes.map((hole) => new Path(hole.map(([x, y]) => new Vector2(x, y))));
  return new ExtrudeGeometry(face, { depth: thickness, bevelEnabled: false });
}

function stretchOf(shape: ShapeView): Vector3 {
  if ('box' in shape) return new Vector3(...shape.box.size);
  if ('cylinder' in shape) {
    const { radius, length } = shape.cylinder;
    return new Vector3(radius, radius, length);
  }
  return new Vector3(1, 1, 1);
}

/** From the geometry to the craft's frame: stretched, turned, shifted. */
export function matrixOf(solid: SolidView): Matrix4 {
  const { at, rotation } = solid.pose;
  return new Matrix4().compose(new Vector3(...at), new Quaternion(...rotation), stretchOf(solid.shape));
}
