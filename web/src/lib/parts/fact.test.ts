import { describe, expect, it } from 'vitest';
import type { FactView } from '$lib/api/types/FactView';
import type { FieldView } from '$lib/api/types/FieldView';
import { defaultTolerance, pointLines, pointsSoFar, pointsText, rowOf, textOf } from './fact';

const fact = (change: Partial<FactView>): FactView => ({
  text: '14 mm, data sheet',
  value: 14,
  unit: 'mm',
  minus: 0.3,
  plus: 0.3,
  stated: false,
  normal: false,
  basis: 'data_sheet',
  ...change,
});

const field: FieldView = {
  key: 'body_width',
  label: 'body width',
  kind: 'quantity',
  unit: 'mm',
  core: true,
  min: 5,
  max: 80,
  default: null,
  choices: [],
  help: '',
  doubts: { measured: '± 0.1 mm', data_sheet: '± 0.3 mm', typical: '± 5 %' },
};

describe('a fact in its row', () => {
  it('shows no tolerance that nobody stated', () => {
    expect(rowOf(fact({}))).toEqual({ value: '14', tolerance: '', basis: 'data_sheet' });
  });
  it('shows uneven and normal tolerances as sheets write them', () => {
    expect(rowOf(fact({ stated: true, minus: 0.1, plus: 0.2 })).tolerance).toBe('+0.2/-0.1');
    expect(rowOf(fact({ stated: true, normal: true })).tolerance).toBe('0.3 normal');
  });
});

describe('the text that is sent', () => {
  it.each([
    [{ value: '14', tolerance: '', basis: 'measured' }, '14 mm, measured'],
    [{ value: '14', tolerance: '0.1', basis: 'measured' }, '14 mm ± 0.1, measured'],
    [{ value: '14', tolerance: '+0.2/-0.1', basis: 'data_sheet' }, '14 mm +0.2/-0.1, data sheet'],
    [{ value: '14', tolerance: '5 %', basis: 'typical' }, '14 mm ± 5 %, typical'],
    [{ value: '1.1 in, data sheet', tolerance: '0.1', basis: 'measured' }, '1.1 in, data sheet'],
    [{ value: 'wide', tolerance: '', basis: 'measured' }, 'wide'],
  ] as const)('%o', (row, wanted) => {
    expect(textOf(row, 'mm')).toBe(wanted);
  });
  it('is nothing for an empty row', () => {
    expect(textOf({ value: ' ', tolerance: '0.1', basis: 'measured' }, 'mm')).toBeNull();
  });
  it('has no unit where the field has none', () => {
    expect(textOf({ value: '2', tolerance: '', basis: 'typical' }, '')).toBe('2, typical');
  });
});

it('the default tolerance is a hint without the unit that stands beside it', () => {
  expect(defaultTolerance(field, 'data_sheet')).toBe('0.3');
  expect(defaultTolerance(field, 'typical')).toBe('5 %');
});

describe('points', () => {
  it('are written one a line and sent in one text', () => {
    const points: [number, number][] = [
      [0, 0],
      [40.5, -3],
    ];
    expect(pointLines(points)).toBe('0, 0\n40.5, -3');
    expect(pointsText('0, 0\n40.5 -3\n\n')).toBe('0,0; 40.5,-3');
    expect(pointsText(' \n')).toBeNull();
  });
  it('are previewed as far as they can be read', () => {
    expect(pointsSoFar('0, 0\n40, x\n5 6')).toEqual([
      [0, 0],
      [5, 6],
    ]);
  });
});
