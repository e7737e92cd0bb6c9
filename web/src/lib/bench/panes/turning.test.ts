import { expect, test } from 'vitest';
import { turnedBy, wrapped } from './turning';

test('what is under the hand goes with it, and half the picture turns half its view', () => {
  expect(turnedBy(0, 200, 400, 120)).toBe(60);
  expect(turnedBy(10, -100, 400, 120)).toBe(-20);
});

test('turning goes round', () => {
  expect(turnedBy(170, 100, 400, 120)).toBe(-160);
  expect(wrapped(-190)).toBe(170);
  expect(wrapped(0)).toBe(0);
});
