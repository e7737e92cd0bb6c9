/** The map of the pages: which address opens which page. */

export type Route =
  | { page: 'fleet' }
  | { page: 'bench'; craft: string }
  | { page: 'mend'; craft: string | null }
  | { page: 'parts' }
  | { page: 'part'; part: string }
  | { page: 'manual'; chapter: string | null; entry: string | null }
  | { page: 'load' }
  | { page: 'journal' }
  | { page: 'care'; craft: string | null }
  | { page: 'spares' }
  | { page: 'phone' }
  | { page: 'nowhere' };

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

export function routeOf(path: string): Route {
  const [first, second, third, ...rest] = path
    .split('/')
    .filter((step) => step !== '')
    .map(decoded);
  if (rest.length > 0) return { page: 'nowhere' };
  if (first === undefined) return { page: 'fleet' };
  if (first === 'craft' && second !== undefined && third === undefined)
    return { page: 'bench', craft: second };
  if (first === 'mend' && third === undefined) return { page: 'mend', craft: second ?? null };
  if (first === 'parts' && second === undefined) return { page: 'parts' };
  if (first === 'parts' && second !== undefined && third === undefined) return { page: 'part', part: second };
  if (first === 'load' && second === undefined) return { page: 'load' };
  if (first === 'journal' && second === undefined) return { page: 'journal' };
  if (first === 'spares' && second === undefined) return { page: 'spares' };
  if (first === 'phone' && second === undefined) return { page: 'phone' };
  if (first === 'care' && third === undefined) return { page: 'care', craft: second ?? null };
  if (first === 'manual') return { page: 'manual', chapter: second ?? null, entry: third ?? null };
  return { page: 'nowhere' };
}

export const craftHref = (id: string): string => `/craft/${encodeURIComponent(id)}`;
export const careHref = (id: string): string => `/care/${encodeURIComponent(id)}`;
export const sparesHref = (id: string): string => `/spares?craft=${encodeURIComponent(id)}`;
export const mendHref = (id: string): string => `/mend/${encodeURIComponent(id)}`;
export const partHref = (id: string): string => `/parts/${encodeURIComponent(id)}`;
export const ruleHref = (id: string): string => `/manual/rules/${encodeURIComponent(id)}`;
