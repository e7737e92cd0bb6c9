/** What is set of a print, between a form and what the program is asked. */
import type { PrintChoice } from '$lib/api/types/PrintChoice';

/** What stands in the boxes of a form, by the key of each choice. */
export type Wishes = Record<string, string | boolean>;

/** What is asked of the program: what was left out is not mentioned, and numbers are numbers. */
export function askedOf(choices: readonly PrintChoice[], wishes: Wishes): Record<string, unknown> {
  const asked: Record<string, unknown> = {};
  for (const { key, entered } of choices) {
    const wish = wishes[key];
    if (wish === undefined || wish === false || (typeof wish === 'string' && wish.trim() === '')) continue;
    const isNumber = typeof entered === 'object' && 'number' in entered;
    // A comma is how half of Europe writes it; what is no number at all the program refuses in words.
    const number = isNumber ? Number(String(wish).trim().replace(',', '.')) : NaN;
    asked[key] = Number.isFinite(number) ? number : wish;
  }
  return asked;
}

/** The same as the end of an address: `?thickness_mm=3`, or nothing. */
export function queryOf(asked: Record<string, unknown>): string {
  const params = new URLSearchParams();
  for (const [key, value] of Object.entries(asked)) params.set(key, String(value));
  const text = params.toString();
  return text === '' ? '' : `?${text}`;
}
