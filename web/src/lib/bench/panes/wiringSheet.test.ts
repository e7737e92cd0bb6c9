import { expect, test } from 'vitest';
import { offSides, pixelsPerMm } from './wiringSheet';

test('fits the room while its letters can be read', () => {
  expect(pixelsPerMm(1000, 250, false)).toBe(4);
  expect(pixelsPerMm(358, 290, false)).toBe(3.3);
  expect(pixelsPerMm(2000, 250, false)).toBe(4.8);
  expect(pixelsPerMm(1000, 250, true)).toBe(4.8);
  expect(pixelsPerMm(0, 250, false)).toBe(4.8);
});
test('names the parts outside from left to right', () => {
  const pads: Parameters<typeof offSides>[0] = [
    { part: 'vtx', at: [200, 1] },
    { part: 'fc', at: [100, 1] },
    { part: 'fc', at: [143, 1] },
    { part: 'esc', at: [10, 1] },
    { part: 'rx', at: null },
  ];
  expect(offSides(pads, 4, 0, 400)).toEqual(['fc', 'vtx']);
  expect(offSides(pads, 4, 400, 400)).toEqual(['esc']);
  expect(offSides(pads, 4, 0, 900)).toEqual([]);
  expect(offSides(pads, 4, 0, 0)).toEqual([]);
});
