import type { WireView } from '$lib/api/types/WireView';
import { expect, test } from 'vitest';
import { described, rewire, swapped } from './rewiring';

const wire = (row: number, from: string, to: string): WireView => ({
  row,
  from,
  to,
  gauge: null,
  colour: null,
  length: null,
  length_said: false,
  pins: null,
  faults: [],
});
const WIRES = [wire(0, 'fc/T', 'vtx/TX'), wire(1, 'fc/R', 'vtx/RX')];

test('a wire at the first pad moves its other end to the second', () => {
  expect(rewire(WIRES, 'fc/T', 'vtx/RX').edit).toEqual({
    do: 'set_craft_row',
    table: 'wire',
    row: 0,
    key: 'to',
    text: 'vtx/RX',
  });
});

test('two pads that are joined are parted, two bare ones are joined', () => {
  expect(rewire(WIRES, 'vtx/TX', 'fc/T').edit).toEqual({ do: 'remove_craft_row', table: 'wire', row: 0 });
  expect(rewire(WIRES, 'fc/T3', 'rx/RX').edit).toMatchObject({ do: 'add_craft_row' });
});

test('a bare pad chosen first takes the wire of the second', () => {
  expect(rewire(WIRES, 'fc/T3', 'vtx/TX').edit).toMatchObject({ row: 0, key: 'from', text: 'fc/T3' });
});

test('a pair is swapped at the part it has in common, in one step', () => {
  const [one, other] = WIRES as [WireView, WireView];
  expect(swapped(one, other)).toMatchObject({
    do: 'together',
    edits: [
      { edit: 'set_craft_row', row: 0, key: 'to', text: 'vtx/RX' },
      { edit: 'set_craft_row', row: 1, key: 'to', text: 'vtx/TX' },
    ],
  });
  expect(swapped(one, wire(2, 'a/1', 'b/2'))).toBeNull();
});

test('gauge and colour are said, said otherwise and taken back', () => {
  const red = { ...wire(3, 'fc/9V', 'vtx/VCC'), gauge: 26, colour: 'red' };
  expect(described(red, 'gauge', '24')?.edit).toEqual({
    do: 'set_craft_row',
    table: 'wire',
    row: 3,
    key: 'gauge',
    text: '24',
  });
  expect(described(red, 'colour', '')?.edit).toMatchObject({ key: 'colour', text: null });
  expect(described(red, 'colour', 'red')).toBeNull();
  expect(described(red, 'gauge', ' 26 ')).toBeNull();
});
