import { describe, expect, it } from 'vitest';
import type { FindingView } from '$lib/api/types/FindingView';
import type { Verdict } from '$lib/api/types/Verdict';
import { changeWords, filtered, grouped, worstByPlace } from './findings';

const finding = (key: string, verdict: Verdict, places: string[] = []): FindingView => ({
  key,
  rule: 'fit.pair_clearance',
  rule_asks: 'Is there room?',
  verdict,
  subject: key,
  places,
  margin: null,
  certainty: null,
  certainty_words: null,
  message: `${key} says so`,
  mends: [],
  missing: [],
  measure_next: null,
  no_single_fact: null,
  figure: null,
  witness: null,
});

const all = [
  finding('a', 'sound', ['vtx']),
  finding('b', 'broken', ['vtx', 'frame']),
  finding('c', 'unknown', ['cam']),
  finding('d', 'broken', ['cam']),
];

describe('the ledger', () => {
  it('has the worst first, keeps the order of the proof, and leaves out empty groups', () => {
    expect(grouped(all).map((group) => [group.verdict, group.findings.map((one) => one.key)])).toEqual([
      ['broken', ['b', 'd']],
      ['unknown', ['c']],
      ['sound', ['a']],
    ]);
  });
  it('is filtered by verdict and by place', () => {
    expect(filtered(all, 'broken', null)).toHaveLength(2);
    expect(filtered(all, 'all', 'vtx').map((one) => one.key)).toEqual(['a', 'b']);
    expect(filtered(all, 'tight', 'vtx')).toEqual([]);
  });
  it('tells the worst verdict of a place', () => {
    const worst = worstByPlace(all);
    expect(worst.get('vtx')).toBe('broken');
    expect(worstByPlace(all.slice(2, 3)).get('cam')).toBe('unknown');
    expect(worst.has('nowhere')).toBe(false);
  });
});

describe('what the ear is told', () => {
  it('names the first change and counts the rest', () => {
    const after = [finding('b', 'sound'), finding('c', 'tight'), finding('d', 'broken')];
    expect(changeWords(all, after)).toBe('Now sound: b says so. And 1 more changed.');
    expect(changeWords(all, all)).toBe('No verdict changed.');
  });
});
