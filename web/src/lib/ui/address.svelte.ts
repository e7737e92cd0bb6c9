/**
 * The address of the page as state. Links are plain `<a href>`; a click on one of our own changes the
 * address without loading the page anew. What can be linked lives here and nowhere else.
 */

interface Address {
  path: string;
  search: string;
  hash: string;
}

function read(): Address {
  const { pathname, search, hash } = window.location;
  return { path: pathname, search, hash };
}

let now = $state.raw<Address>(read());

export function address(): Address {
  return now;
}

/** Opens an address of ours: a new entry of the history, or in place of the present one. */
export function go(href: string, how: 'new' | 'in place' = 'new'): void {
  if (how === 'new') window.history.pushState(null, '', href);
  else window.history.replaceState(null, '', href);
  const before = now.path;
  now = read();
  if (before !== now.path) window.scrollTo(0, 0);
}

function clicked(event: MouseEvent): void {
  if (event.defaultPrevented || event.button !== 0) return;
  if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  const link = event.target instanceof Element ? event.target.closest('a[href]') : null;
  if (!(link instanceof HTMLAnchorElement) || link.target || link.hasAttribute('download')) return;
  const url = new URL(link.href);
  if (url.origin !== window.location.origin || url.pathname.startsWith('/api/')) return;
  const samePage = url.pathname === now.path && url.search === now.search;
  if (samePage && url.hash) return;
  event.preventDefault();
  go(url.pathname + url.search + url.hash);
}

/** Starts to follow the history and the clicks on links. */
export function followAddress(): void {
  window.addEventListener('popstate', () => (now = read()));
  window.addEventListener('hashchange', () => (now = read()));
  document.addEventListener('click', clicked);
}
