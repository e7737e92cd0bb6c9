import { expect, it } from 'vitest';
import { minutes, percent } from './when';

it.each([
  [0, '0 %'],
  [0.002, 'under 1 %'],
  [0.494, '49 %'],
  [0.9999, 'over 99 %'],
  [1, '100 %'],
])('a chance of %d', (chance, words) => expect(percent(chance)).toBe(words));

it.each([
  [0.2, '10 s'],
  [0.5, '30 s'],
  [1, '1 min'],
  [1.5, '1.5 min'],
  [12, '12 min'],
])('%d minutes', (value, words) => expect(minutes(value)).toBe(words));
