import { describe, expect, it } from 'vitest';
import type { ShapeView } from '$lib/api/types/ShapeView';
import type { SolidView } from '$lib/api/types/SolidView';
import { Box3, Mesh, Vector3 } from 'three';
import { ballOf, cornersOf, posed, solidWords } from './extent';
import { formOf, geometryOf, matrixOf } from './solid';

const solid = (shape: ShapeView, change: Partial<SolidView> = {}): SolidView => ({
  index: 0,
  place: 'vtx',
  name: 'board',
  role: 'board',
  material: 'board',
  shape,
  pose: { at: [0, 0, 0], rotation: [0, 0, 0, 1] },
  ghost: false,
  ...change,
});
/** The room a shape takes as it is drawn: its geometry under its own matrix. */
function box(shape: ShapeView): Box3 {
  const mesh = new Mesh(geometryOf(shape, 32));
  mesh.applyMatrix4(matrixOf(solid(shape)));
  return new Box3().setFromObject(mesh);
}

describe('shapes become geometry', () => {
  it('a cylinder stands along z, about the origin', () => {
    const { min, max } = box({ cylinder: { radius: 2, length: 10 } });
    expect([min.z, max.z, max.x]).toEqual([-5, 5, 2]);
  });
  it('a box lies about the origin', () => {
    const { min, max } = box({ box: { size: [2, 4, 6] } });
    expect([min.x, min.y, min.z, max.x, max.y, max.z]).toEqual([-1, -2, -3, 1, 2, 3]);
  });
  it('boxes of any size are of one form, plates of different outlines are not', () => {
    const sized = (x: number): ShapeView => ({ box: { size: [x, 1, 1] } });
    expect(formOf(sized(1))).toBe(formOf(sized(30)));
    const plate = (x: number): ShapeView => ({
      prism: {
        outline: [
          [0, 0],
          [x, 0],
          [0, 1],
        ],
        holes: [],
        thickness: 1,
      },
    });
    expect(formOf(plate(1))).not.toBe(formOf(plate(2)));
  });
  it('a prism grows from its plane up', () => {
    const outline: [number, number][] = [
      [0, 0],
      [4, 0],
      [4, 3],
      [0, 3],
    ];
    const { min, max } = box({ prism: { outline, holes: [], thickness: 2 } });
    expect([min.x, min.y, min.z, max.x, max.y, max.z]).toEqual([0, 0, 0, 4, 3, 2]);
  });
  it('a hole is left open', () => {
    const outline: [number, number][] = [
      [-5, -5],
      [5, -5],
      [5, 5],
      [-5, 5],
    ];
    const hole: [number, number][] = [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ];
    const whole = geometryOf({ prism: { outline, holes: [], thickness: 1 } }, 32);
    const open = geometryOf({ prism: { outline, holes: [hole], thickness: 1 } }, 32);
    expect(open.getAttribute('position').count).toBeGreaterThan(whole.getAttribute('position').count);
  });
});

describe('poses', () => {
  it('turn first, then shift', () => {
    const half = Math.SQRT1_2;
    const turnedLeft = solid(
      { box: { size: [2, 2, 2] } },
      { pose: { at: [10, 0, 0], rotation: [0, 0, half, half] } },
    );
    // The middle of its forward side, on the box of size 1 before it is stretched.
    const point = new Vector3(0.5, 0, 0).applyMatrix4(matrixOf(turnedLeft));
    expect(point.x).toBeCloseTo(10, 6);
    expect(point.y).toBeCloseTo(1, 6);
    // The page's own arithmetic and the drawing's agree.
    posed(turnedLeft.pose, [1, 0, 0]).forEach((value, axis) =>
      expect(value).toBeCloseTo(point.getComponent(axis), 6),
    );
  });
  it('bound several solids in one ball', () => {
    const far = solid({ box: { size: [2, 2, 2] } }, { pose: { at: [20, 0, 0], rotation: [0, 0, 0, 1] } });
    const bounds = ballOf(cornersOf([solid({ box: { size: [2, 2, 2] } }), far]));
    expect(bounds?.middle).toEqual([10, 0, 0]);
    expect(bounds?.radius).toBeGreaterThan(11);
    expect(ballOf([])).toBeNull();
  });
});

it('a solid is told in one line', () => {
  expect(solidWords(solid({ box: { size: [30, 20.04, 5] } }))).toBe('board: board, 30 × 20 × 5, at 0, 0, 0');
});
