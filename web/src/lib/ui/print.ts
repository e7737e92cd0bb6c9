/**
 * Prints one part of a page and nothing beside it: everything that neither holds it nor lies in it is left out by the style for
 * print (`app.css`). What is folded is unfolded for as long as it is printed, unless it shall stay folded.
 */
export function printOnly(part: Element | null | undefined, unfold = true): void {
  if (!part) return;
  const within = unfold ? [...part.querySelectorAll('details'), part] : [];
  const folded = within.filter(
    (one): one is HTMLDetailsElement => one instanceof HTMLDetailsElement && !one.open,
  );
  for (const one of folded) one.open = true;
  part.classList.add('printed');
  document.documentElement.dataset.prints = 'part';
  const after = () => {
    window.removeEventListener('afterprint', after);
    part.classList.remove('printed');
    delete document.documentElement.dataset.prints;
    for (const one of folded) one.open = false;
  };
  window.addEventListener('afterprint', after);
  window.print();
}
