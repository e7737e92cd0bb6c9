/** Settings as a person types them: a name, an equals sign and a value on each line. */

export const settingLines = (settings: Record<string, string | undefined>): string =>
  Object.entries(settings)
    .map(([name, value]) => `${name} = ${value ?? ''}`)
    .join('\n');

/** The settings of a text, or the first line that is none. */
export function settingsOf(text: string): { settings: Record<string, string>; odd: string | null } {
  const settings: Record<string, string> = {};
  for (const line of text.split('\n').map((one) => one.trim())) {
    if (line === '') continue;
    const at = line.indexOf('=');
    const [name, value] = [line.slice(0, at).trim(), line.slice(at + 1).trim()];
    if (at < 1 || name === '' || value === '') return { settings, odd: line };
    settings[name] = value;
  }
  return { settings, odd: null };
}
