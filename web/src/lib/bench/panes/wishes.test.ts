import type { PrintChoice } from '$lib/api/types/PrintChoice';
import { describe, expect, it } from 'vitest';
import { askedOf, queryOf } from './wishes';

const choices: PrintChoice[] = [
  {
    key: 'thickness_mm',
    label: 'thickness',
    entered: { number: { unit: 'mm', least: 1, most: 9 } },
    help: '',
  },
  { key: 'onto', label: 'goes on', entered: { one_of: [['frame/rear 20', 'frame/rear 20']] }, help: '' },
  { key: 'flanges', label: 'flanges', entered: 'flag', help: '' },
];

describe('what is set of a print', () => {
  it('is not mentioned when it is left out', () => {
    expect(askedOf(choices, { thickness_mm: ' ', flanges: false })).toEqual({});
    expect(queryOf({})).toBe('');
  });
  it('is asked as numbers, words and flags', () => {
    const asked = askedOf(choices, { thickness_mm: '2,5', onto: 'frame/rear 20', flanges: true });
    expect(asked).toEqual({ thickness_mm: 2.5, onto: 'frame/rear 20', flanges: true });
    expect(queryOf(asked)).toBe('?thickness_mm=2.5&onto=frame%2Frear+20&flanges=true');
  });
  it('goes on as it was typed when it is no number, for the program to refuse', () => {
    expect(askedOf(choices, { thickness_mm: 'thin' })).toEqual({ thickness_mm: 'thin' });
  });
});
