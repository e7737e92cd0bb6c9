/**
 * A fact between its text and the row it is entered in: number, tolerance, unit, basis. The text is the
 * grammar of sheets; anything but a plain number in the first box is taken as that grammar, whole.
 */
import type { Basis } from '$lib/api/types/Basis';
import type { FactView } from '$lib/api/types/FactView';
import type { FieldView } from '$lib/api/types/FieldView';
import type { ValueView } from '$lib/api/types/ValueView';

export const BASES: readonly { word: Basis; words: string }[] = [
  { word: 'measured', words: 'measured' },
  { word: 'data_sheet', words: 'data sheet' },
  { word: 'typical', words: 'typical' },
];

export interface FactRow {
  value: string;
  tolerance: string;
  basis: Basis;
}

const PLAIN_NUMBER = /^[+\-\u2212]?\d+(\.\d+)?([eE][+-]?\d+)?$/;

/** A number as it is typed: shortest form, no rounding beyond what the number itself carries. */
export function typed(value: number): string {
  return String(Number(value.toPrecision(12)));
}

/** What stands in the row of a fact. An unstated tolerance stays empty: the default shows as a hint. */
export function rowOf(fact: FactView): FactRow {
  const even = fact.minus === fact.plus;
  const limits = even ? typed(fact.plus) : `+${typed(fact.plus)}/-${typed(fact.minus)}`;
  const tolerance = fact.stated ? limits + (fact.normal ? ' normal' : '') : '';
  return { value: typed(fact.value), tolerance, basis: fact.basis };
}

/** The text that is sent, or nothing when the row is empty and the fact is to be taken away. */
export function textOf(row: FactRow, unit: string): string | null {
  const value = row.value.trim();
  if (value === '') return null;
  if (!PLAIN_NUMBER.test(value)) return value;
  const basis = BASES.find((one) => one.word === row.basis)?.words ?? 'typical';
  const tolerance = row.tolerance.trim();
  const written = tolerance === '' || /^[+\-±\u2212]/.test(tolerance) ? tolerance : `± ${tolerance}`;
  return `${[value, unit, written].filter((word) => word !== '').join(' ')}, ${basis}`;
}

/** The default tolerance of a field on a basis as a hint: `0.3`, `5 %`. */
export function defaultTolerance(field: FieldView, basis: Basis): string {
  const words = field.doubts?.[basis] ?? '';
  const bare = words.replace(/^±\s*/, '');
  return field.unit !== '' && bare.endsWith(` ${field.unit}`) ? bare.slice(0, -field.unit.length - 1) : bare;
}

/** Points as text, one point a line. */
export function pointLines(points: readonly (readonly [number, number])[]): string {
  return points.map(([x, y]) => `${typed(x)}, ${typed(y)}`).join('\n');
}

/** Lines of points as the one text that is sent. */
export function pointsText(lines: string): string | null {
  const points = lines
    .split(/[\n;]/)
    .map((line) => line.trim().replace(/\s*[,\s]\s*/, ','))
    .filter((line) => line !== '');
  return points.length === 0 ? null : points.join('; ');
}

/** Points that could be read while somebody types, for the preview only. */
export function pointsSoFar(lines: string): [number, number][] {
  return lines.split(/[\n;]/).flatMap((line): [number, number][] => {
    const match = /^\s*(-?[\d.]+)\s*[,\s]\s*(-?[\d.]+)\s*$/.exec(line.replaceAll('\u2212', '-'));
    const [x, y] = [Number(match?.[1]), Number(match?.[2])];
    return match && Number.isFinite(x) && Number.isFinite(y) ? [[x, y]] : [];
  });
}

/** Any value but a fact as the text of its field. */
export function plainText(value: ValueView | undefined): string {
  if (value === undefined) return '';
  if ('text' in value) return value.text;
  if ('count' in value) return String(value.count);
  if ('flag' in value) return value.flag ? 'yes' : 'no';
  if ('points' in value) return pointLines(value.points);
  return value.fact.text;
}
