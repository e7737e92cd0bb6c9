/** Moments as a person reads them, and as a form gives them; always universal time, and said so. */

/** `2031-05-04T09:30:00Z` → `2031-05-04 09:30 UTC`. */
export const plainMoment = (at: string): string => `${at.slice(0, 10)} ${at.slice(11, 16)} UTC`;

/** Names as typed, with commas between. */
export const listed = (text: string): string[] =>
  text
    .split(',')
    .map((one) => one.trim())
    .filter((one) => one !== '');

/** A number as typed, a comma for its point too; null when nothing was typed. */
export const typed = (text: string): number | null => {
  const plain = text.trim().replace(',', '.');
  return plain === '' ? null : Number(plain);
};
