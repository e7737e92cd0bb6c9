/**
 * Numbers as the pages write them: figures of the value follow its doubt, the doubt has one figure, or two
 * when it starts with a one; a true minus sign; no exponent for the sizes of this trade.
 */

const MINUS = '\u2212';

/** Below this a doubt is rounding of the machine, in any unit the pages show. */
const NEGLIGIBLE = 1e-5;

export interface Written {
  value: string;
  doubt: string | null;
}

function decimalsOf(doubt: number): number {
  const exponent = Math.floor(Math.log10(doubt));
  const leading = Math.floor(doubt / 10 ** exponent + 1e-9);
  const figures = leading === 1 ? 2 : 1;
  return Math.min(6, Math.max(0, figures - 1 - exponent));
}

/** The size of a number: halves go away from zero on it as a person writes it, as the program rounds: 9.45 to 9.5, not to what lies below in binary. */
export function rounded(value: number, decimals: number): string {
  const believed = String(Number(Math.abs(value).toPrecision(12)));
  if (believed.includes('e')) return Math.abs(value).toFixed(decimals);
  return Number(`${Math.round(Number(`${believed}e${decimals}`))}e-${decimals}`).toFixed(decimals);
}

function fixed(value: number, decimals: number): string {
  const text = rounded(value, decimals);
  const isNought = Number(text) === 0;
  return (value < 0 && !isNought ? MINUS : '') + text;
}

const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹';
const raised = (exponent: number): string =>
  (exponent < 0 ? '⁻' : '') + [...String(Math.abs(exponent))].map((digit) => RAISED[Number(digit)]).join('');

/** A number without doubt: at most four figures that matter, no trailing noughts; tiny ones with a power of ten. */
export function plain(value: number): string {
  if (!Number.isFinite(value)) return 'no number';
  if (value === 0) return '0';
  const size = Math.abs(value);
  if (size < 1e-4) {
    const exponent = Math.floor(Math.log10(size));
    return `${fixed(value / 10 ** exponent, 1).replace('.0', '')}·10${raised(exponent)}`;
  }
  const decimals = size >= 1000 ? 0 : Math.min(6, Math.max(0, 3 - Math.floor(Math.log10(size))));
  const text = fixed(value, decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** A value with its doubt, both to the same place. */
export function written(value: number, doubt: number | null): Written {
  if (doubt === null || !Number.isFinite(doubt) || doubt < NEGLIGIBLE)
    return { value: plain(value), doubt: null };
  const decimals = decimalsOf(doubt);
  return { value: fixed(value, decimals), doubt: rounded(doubt, decimals) };
}

/** The value with its sign, as margins are written: what is spare is `+`, what is lacking is `−`. */
export function signed(text: string): string {
  return text.startsWith(MINUS) || /^0(\.0+)?$/.test(text) ? text : `+${text}`;
}

/** Words in which no line ends between a number and its unit. */
export function unbroken(words: string): string {
  return words.replace(/(\d) (?=(?:mm|g|A|V|W|mW|MHz|Hz|N|%|°)(?![A-Za-z]))/g, '$1\u00a0');
}

/** `2 broken, 1 tight`, nothing for noughts. */
export function countWords(counts: readonly (readonly [number, string])[], none: string): string {
  const words = counts.filter(([count]) => count > 0).map(([count, word]) => `${count} ${word}`);
  return words.length > 0 ? words.join(', ') : none;
}
