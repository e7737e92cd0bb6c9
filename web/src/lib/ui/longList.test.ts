import { expect, it } from 'vitest';
import { shownOf } from './longList';

const items = Array.from({ length: 10 }, (_, number) => number);

it('a short list is whole', () => {
  expect(shownOf(items, 10, () => false)).toBe(items);
});
it('of a long one the first are shown, and the one that must be seen', () => {
  expect(shownOf(items, 3, (one) => one === 7)).toEqual([0, 1, 2, 7]);
  expect(shownOf(items, 3, (one) => one === 1)).toEqual([0, 1, 2]);
});
