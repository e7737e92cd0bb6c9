import { describe, expect, it } from 'vitest';
import { stepOf, targetOf } from './path';
import { movedBy, movesAlong } from './seated';
import { seats, seatWords, usualSeats } from './seats';
import { searchOf, selectionOf } from './selection';
import type { PartView } from '$lib/api/types/PartView';
import type { PlaceView } from '$lib/api/types/PlaceView';

describe('what is picked stands in the address', () => {
  it('and is read back the same', () => {
    const selection = {
      finding: 'fit.pair_clearance|"vtx" plug & post',
      place: 'vtx',
      panes: ['drawings', 'prints'],
    };
    expect(selectionOf(searchOf(selection))).toEqual(selection);
  });
  it('or not at all', () => {
    expect(searchOf({ finding: null, place: null, panes: [] })).toBe('');
    expect(selectionOf('?finding=&pane=')).toEqual({ finding: null, place: null, panes: [] });
  });
});

describe('paths of facts lead to their fields', () => {
  it.each([
    ['cam.body_width', { owner: 'part', id: 'cam', key: 'body_width', table: null, row: null }],
    ['cam.plug[2].length', { owner: 'part', id: 'cam', key: 'length', table: 'plug', row: 2 }],
    ['place vtx.z', { owner: 'place', id: 'vtx', key: 'z', table: null, row: null }],
    ['craft.cruise', { owner: 'craft', id: '', key: 'cruise', table: null, row: null }],
  ])('%s', (path, wanted) => {
    expect(targetOf(path)).toMatchObject(wanted);
  });
});

it('the guide is understood', () => {
  expect(stepOf('add:frame')).toEqual({ what: 'add', kind: 'frame' });
  expect(stepOf('place:vtx')).toEqual({ what: 'place', part: 'vtx' });
  expect(stepOf('fill:cam.body_width')).toMatchObject({
    what: 'fill',
    target: { id: 'cam', key: 'body_width' },
  });
  expect(stepOf('class')).toEqual({ what: 'class' });
  expect(stepOf('something new')).toEqual({ what: 'read' });
});

const place = (id: string, on: string | null, features: string[] = []): PlaceView => ({
  id,
  part: id,
  part_name: id,
  kind: 'frame',
  on,
  anchor: null,
  values: {},
  features,
  plugs: [],
});

describe('seats', () => {
  const places = [
    place('frame', 'body', ['rear stack']),
    place('vtx', 'frame/rear stack'),
    place('ant', 'vtx'),
  ];
  it('are the craft, every feature and every place but the part itself', () => {
    expect(seats(places, 'ant')).toEqual(['body', 'frame/rear stack', 'frame', 'vtx']);
  });
  it('are told in words', () => {
    expect(seatWords('frame/rear stack')).toBe('rear stack of frame');
    expect(seatWords(null)).toBe('not said yet');
  });
  it('usual for a kind are told by the tables of what carries it, free ones first', () => {
    const row = (name: string) => ({ name: { text: name } });
    const frame: PartView = {
      id: 'frame',
      kind: 'frame',
      name: 'frame',
      values: {},
      tables: { motor_mount: [row('front left'), row('front right')], pattern: [row('rear stack')] },
      used_by: [],
      demo: false,
    };
    const placed = [place('frame', 'body'), { ...place('m', 'frame/front left'), kind: 'motor' }];
    expect(usualSeats('motor', placed, [frame])).toEqual(['frame/front right', 'frame/front left']);
    expect(usualSeats('blades', placed, [frame])).toEqual(['m/shaft']);
    expect(usualSeats('video_transmitter', placed, [frame])).toEqual(['frame/rear stack']);
    expect(usualSeats('capacitor', placed, [frame])).toEqual([]);
  });
  it('are moved along one axis, and what is known of the others stays', () => {
    expect(movedBy(place('vtx', 'frame'), 'y', -0.25)).toEqual({ x: null, y: -0.25, z: null });
  });
  it('carry along whatever sits on them', () => {
    expect([...movesAlong(places, 'frame')]).toEqual(['frame', 'vtx', 'ant']);
    expect([...movesAlong(places, 'ant')]).toEqual(['ant']);
  });
});
