/** Moments as a person reads them and as a form gives them: in the zone of the device, which is said; universal time on the wire. */

const two = (number: number): string => String(number).padStart(2, '0');

/** `UTC`, `UTC+2`, `UTC-3:30`: how far the device's clock stands from universal time at that moment. */
export function zone(date: Date): string {
  const ahead = -date.getTimezoneOffset();
  if (ahead === 0) return 'UTC';
  const [hours, minutes] = [Math.trunc(Math.abs(ahead) / 60), Math.abs(ahead) % 60];
  return `UTC${ahead < 0 ? '-' : '+'}${hours}${minutes ? `:${two(minutes)}` : ''}`;
}

/** `2031-05-04T09:30:00Z` → `2031-05-04 11:30 UTC+2`. */
export function plainMoment(at: string): string {
  const date = new Date(at);
  if (Number.isNaN(date.valueOf())) return at;
  const day = `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
  return `${day} ${two(date.getHours())}:${two(date.getMinutes())} ${zone(date)}`;
}

/** A moment as a form gives it, in the device's time → the same in universal time; null when nothing was typed. */
export function universal(typed: string): string | null {
  const date = new Date(typed);
  return typed === '' || Number.isNaN(date.valueOf()) ? null : date.toISOString().replace(/\.\d+Z$/, 'Z');
}

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
