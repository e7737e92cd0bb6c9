import { describe, expect, it } from 'vitest';
import {
  acrossLine,
  along,
  axes,
  between,
  enlarged,
  fitted,
  framed,
  named,
  onPage,
  turned,
  type Point,
  type Sight,
} from './sight';

const sight: Sight = { azimuth: 0, elevation: 0, mmPerPixel: 0.5, target: [0, 0, 0] };
const near = (got: readonly number[], wanted: readonly number[]) =>
  wanted.forEach((value, number) => expect(got[number]).toBeCloseTo(value, 6));

describe('where points stand on the page', () => {
  it('from ahead, left of the craft is right on the page and up is up', () => {
    near(onPage(sight, 200, 100, [0, 10, 0]), [120, 50]);
    near(onPage(sight, 200, 100, [0, 0, 10]), [100, 30]);
    near(onPage(sight, 200, 100, [10, 0, 0]), [100, 50]);
  });
  it('from above, the nose points up the page and left is left', () => {
    const top = named(sight, 'top');
    near(onPage(top, 200, 100, [10, 0, 0]), [100, 30]);
    near(onPage(top, 200, 100, [0, 10, 0]), [80, 50]);
  });
  it('from the side, the nose points right', () => {
    near(onPage(named(sight, 'side'), 200, 100, [10, 0, 0]), [120, 50]);
  });
  it('the axes of the page stay square to each other', () => {
    for (const azimuth of [-170, -35, 0, 77]) {
      const { right, up, eye } = axes({ ...sight, azimuth, elevation: 33 });
      const dot = (a: Point, b: Point) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
      near([dot(right, up), dot(up, eye), dot(eye, right), dot(up, up)], [0, 0, 0, 1]);
    }
  });
});

describe('turning and enlarging', () => {
  it('never goes over the pole, and angles stay small', () => {
    expect(turned(sight, 0, 120).elevation).toBe(90);
    expect(turned(sight, 190, 0).azimuth).toBe(-170);
  });
  it('has ends in both directions', () => {
    expect(enlarged(sight, 1e9).mmPerPixel).toBe(0.002);
    expect(enlarged(sight, 1e-9).mmPerPixel).toBe(5);
  });
  it('frames a ball so that it fits the shorter side', () => {
    const now = framed(sight, [1, 2, 3], 50, 800, 400);
    expect(now.target).toEqual([1, 2, 3]);
    expect((2 * 50) / now.mmPerPixel).toBeLessThan(400);
  });
  it('fits points so that all stand on the sheet, the outermost near its edge', () => {
    const points: Point[] = [
      [0, -30, 5],
      [12, 50, -5],
      [-40, 10, 9],
    ];
    const now = fitted({ ...sight, azimuth: -35, elevation: 28 }, points, 800, 400);
    const xs = points.map((point) => onPage(now, 800, 400, point)[0]);
    expect(Math.min(...xs)).toBeGreaterThan(0);
    expect(Math.max(...xs)).toBeLessThan(800);
    expect(Math.max(...xs) - Math.min(...xs)).toBeGreaterThan(600);
  });
  it('begins and ends a motion where it should, by the shorter way round', () => {
    const to = { ...sight, azimuth: -170, elevation: 10 };
    const from = { ...sight, azimuth: 170 };
    expect(between(from, to, 0).azimuth).toBe(170);
    expect(between(from, to, 0.5).azimuth).toBe(180);
    expect(between(from, to, 1).elevation).toBe(10);
  });
});

describe('dragging', () => {
  it('moves by the millimetres under the pointer', () => {
    expect(along(sight, [0, 1, 0], 20, 0)).toBeCloseTo(10, 6);
    expect(along(sight, [0, 0, 1], 5, -20)).toBeCloseTo(10, 6);
  });
  it('does nothing along an axis that points at the eye', () => {
    expect(along(sight, [1, 0, 0], 20, 20)).toBe(0);
  });
});

it('a line that points at the eye is looked at from the side', () => {
  const now = acrossLine(sight, [0, 0, 0], [3, 0, 0]);
  const { eye } = axes(now);
  expect(Math.abs(eye[0])).toBeLessThan(0.6);
  expect(acrossLine(sight, [0, 0, 0], [0, 3, 0])).toEqual(sight);
});
