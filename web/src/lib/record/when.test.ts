import { afterEach, expect, it } from 'vitest';
import { listed, plainMoment, typed, universal } from './when';

const machine = process.env.TZ;
afterEach(() => {
  process.env.TZ = machine;
});

it('tells a moment with its zone', () => {
  for (const [zone, told] of [
    ['UTC', '2031-05-04 09:30 UTC'],
    ['Asia/Kathmandu', '2031-05-04 15:15 UTC+5:45'],
    ['America/St_Johns', '2031-05-04 07:00 UTC-2:30'],
  ]) {
    process.env.TZ = zone;
    expect(plainMoment('2031-05-04T09:30:00Z')).toBe(told);
  }
});

it('sends universal time, whatever the clock of the device says', () => {
  process.env.TZ = 'Asia/Kathmandu';
  expect(universal('2031-05-04T15:15')).toBe('2031-05-04T09:30:00Z');
  expect(universal('')).toBeNull();
});

it('reads names and numbers as they are typed', () => {
  expect(listed(' P1, P2,, ')).toEqual(['P1', 'P2']);
  expect(typed(' 5,5 ')).toBe(5.5);
  expect(typed('  ')).toBeNull();
  expect(typed('much')).toBeNaN();
});
