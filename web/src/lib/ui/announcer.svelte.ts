/** What a screen reader is told: one polite line, replaced by the next. */

let line = $state('');

export function announcement(): string {
  return line;
}

export function announce(words: string): void {
  // The same words twice would not be read again.
  line = words === line ? `${words}\u00a0` : words;
}
