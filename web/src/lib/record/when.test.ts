import { expect, it } from 'vitest';
import { listed, plainMoment, typed } from './when';

it('tells a moment with its zone', () => {
  expect(plainMoment('2031-05-04T09:30:00Z')).toBe('2031-05-04 09:30 UTC');
});

it('reads names and numbers as they are typed', () => {
  expect(listed(' P1, P2,, ')).toEqual(['P1', 'P2']);
  expect(typed(' 5,5 ')).toBe(5.5);
  expect(typed('  ')).toBeNull();
  expect(typed('much')).toBeNaN();
});
