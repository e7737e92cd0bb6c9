import { describe, expect, it } from 'vitest';
import { countWords, plain, rounded, signed, unbroken, written } from './number';

describe('a value with its doubt', () => {
  it.each([
    [0.42, 0.31, '0.4', '0.3'],
    [0.42, 0.14, '0.42', '0.14'],
    [14, 0.0577, '14.00', '0.06'],
    [-1.234, 0.5, '−1.2', '0.5'],
    [123.4, 12, '123', '12'],
    [1234.5, 250, '1235', '250'],
    [-0.01, 0.3, '0.0', '0.3'],
  ])('%d with doubt %d', (value, doubt, wanted, wantedDoubt) => {
    expect(written(value, doubt)).toEqual({ value: wanted, doubt: wantedDoubt });
  });

  it('without doubt keeps four figures that matter', () => {
    expect(written(29.2, null)).toEqual({ value: '29.2', doubt: null });
    expect(plain(0.123456)).toBe('0.1235');
    expect(plain(5812)).toBe('5812');
    expect(plain(-3)).toBe('−3');
    expect(plain(0)).toBe('0');
    expect(plain(-2.5e-10)).toBe('−2.5·10⁻¹⁰');
    expect(plain(1e-6)).toBe('1·10⁻⁶');
    expect(plain(Number.NaN)).toBe('no number');
  });

  it('halves go away from nought on the number as it is written', () => {
    expect([9.45, -9.45, 0.05, 1.005, 1e-9].map((value) => rounded(value, 2))).toEqual([
      '9.45',
      '9.45',
      '0.05',
      '1.01',
      '0.00',
    ]);
    expect([9.45, 2.25, 0.1 + 0.35].map((value) => rounded(value, 1))).toEqual(['9.5', '2.3', '0.5']);
  });

  it('a doubt of nought is no doubt', () => {
    expect(written(-0.45, 4e-10)).toEqual({ value: '−0.45', doubt: null });
    expect(written(2.5, 0)).toEqual({ value: '2.5', doubt: null });
  });
});

describe('margins', () => {
  it('carry their sign, nought has none', () => {
    expect(signed('0.4')).toBe('+0.4');
    expect(signed('−0.4')).toBe('−0.4');
    expect(signed('0.0')).toBe('0.0');
  });
});

it('counts leave out noughts', () => {
  const counts = [
    [2, 'broken'],
    [0, 'tight'],
    [1, 'unknown'],
  ] as const;
  expect(countWords(counts, 'nothing')).toBe('2 broken, 1 unknown');
  expect(countWords([[0, 'broken']], 'nothing')).toBe('nothing');
});

it('a number stays with its unit', () => {
  expect(unbroken('overlap by 1.4 mm: 95 % likely, 2 mounts, 20 A')).toBe(
    'overlap by 1.4\u00a0mm: 95\u00a0% likely, 2 mounts, 20\u00a0A',
  );
});
