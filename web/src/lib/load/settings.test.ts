import { describe, expect, it } from 'vitest';
import { settingLines, settingsOf } from './settings';

describe('settings as they are typed', () => {
  it('reads what it wrote, whatever blanks stand about', () => {
    const settings = { level: '25 mW', channel: '5806 MHz' };
    expect(settingsOf(settingLines(settings))).toEqual({ settings, odd: null });
    expect(settingsOf('  level=25 mW \n\n channel =5806 MHz').settings).toEqual(settings);
    expect(settingsOf('')).toEqual({ settings: {}, odd: null });
  });
  it('keeps an equals sign in a value', () => {
    expect(settingsOf('mode = a=b').settings).toEqual({ mode: 'a=b' });
  });
  it('names the line that is none', () => {
    for (const odd of ['level', '= 25 mW', 'level =']) expect(settingsOf(`a = b\n${odd}`).odd).toBe(odd);
  });
});
