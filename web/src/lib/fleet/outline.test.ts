// @vitest-environment happy-dom
import { expect, it } from 'vitest';
import { safeOutline } from './outline';

it('plain shapes pass, everything else goes', () => {
  const drawing = safeOutline(
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" onload="x()"><script>x()</script>' +
      '<g stroke="currentColor"><path d="M0 0L9 9" onclick="x()"/><image href="http://elsewhere/"/></g>' +
      '<rect width="3" height="3" fill="url(http://elsewhere/)"/></svg>',
  );
  const text = drawing?.outerHTML ?? '';
  expect(text).toContain('M0 0L9 9');
  expect(text).toContain('viewBox');
  for (const gone of ['script', 'onload', 'onclick', 'image', 'elsewhere']) expect(text).not.toContain(gone);
});
it('what is no drawing is none', () => {
  expect(safeOutline('<p xmlns="http://www.w3.org/1999/xhtml">words</p>')).toBeNull();
});
