/** A moment as the record keeps it, for people. */
export function when(at: string): string {
  const date = new Date(at);
  return Number.isNaN(date.valueOf())
    ? at
    : date.toLocaleString('en-GB', { dateStyle: 'medium', timeStyle: 'short' });
}

/** A chance as whole per cent; only what is certain reads 0 or 100. */
export function percent(chance: number): string {
  const whole = Math.round(100 * chance);
  if (whole === 0) return chance > 0 ? 'under 1 %' : '0 %';
  if (whole === 100) return chance < 1 ? 'over 99 %' : '100 %';
  return `${whole} %`;
}

/** Minutes, the short ones in seconds. */
export function minutes(value: number): string {
  if (value < 0.75) return `${Math.round(value * 12) * 5} s`;
  return value < 10 && value % 1 > 0.2 ? `${value.toFixed(1)} min` : `${Math.round(value)} min`;
}

const RISKS = ['no risk', 'wears a plug or disturbs a setting', 'may hurt a part', 'may hurt a person'];

export const risk = (level: number): string => RISKS[level] ?? '';
