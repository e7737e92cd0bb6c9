/** Light or dark, as the system asks or as the builder chose on this machine. */

export type Theme = 'light' | 'dark';
export type ThemeChoice = Theme | 'system';

const KEY = 'creance.theme';
const night = window.matchMedia('(prefers-color-scheme: dark)');

function stored(): ThemeChoice {
  try {
    const word = window.localStorage.getItem(KEY);
    return word === 'light' || word === 'dark' ? word : 'system';
  } catch {
    return 'system'; // Storage may be switched off; the system's wish still holds.
  }
}

let choice = $state<ThemeChoice>(stored());
let systemDark = $state(night.matches);

export function themeChoice(): ThemeChoice {
  return choice;
}

export function theme(): Theme {
  if (choice !== 'system') return choice;
  return systemDark ? 'dark' : 'light';
}

function apply(): void {
  document.documentElement.dataset.theme = theme();
}

export function chooseTheme(wanted: ThemeChoice): void {
  choice = wanted;
  try {
    if (wanted === 'system') window.localStorage.removeItem(KEY);
    else window.localStorage.setItem(KEY, wanted);
  } catch {
    // The choice then lasts as long as the page.
  }
  apply();
}

export function followTheme(): void {
  night.addEventListener('change', (event) => {
    systemDark = event.matches;
    apply();
  });
  apply();
}
