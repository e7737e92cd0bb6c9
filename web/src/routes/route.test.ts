import { expect, it } from 'vitest';
import { craftHref, routeOf } from './route';

it.each([
  ['/', { page: 'fleet' }],
  ['/craft/kestrel', { page: 'bench', craft: 'kestrel' }],
  ['/craft/two%20words', { page: 'bench', craft: 'two words' }],
  ['/mend', { page: 'mend', craft: null }],
  ['/mend/kestrel', { page: 'mend', craft: 'kestrel' }],
  ['/parts', { page: 'parts' }],
  ['/parts/cam', { page: 'part', part: 'cam' }],
  ['/manual', { page: 'manual', chapter: null, entry: null }],
  ['/manual/rules/fit.pair_clearance', { page: 'manual', chapter: 'rules', entry: 'fit.pair_clearance' }],
  ['/load', { page: 'load' }],
  ['/journal', { page: 'journal' }],
  ['/care', { page: 'care', craft: null }],
  ['/care/kestrel', { page: 'care', craft: 'kestrel' }],
  ['/phone', { page: 'phone' }],
  ['/load/more', { page: 'nowhere' }],
  ['/craft', { page: 'nowhere' }],
  ['/elsewhere', { page: 'nowhere' }],
  ['/craft/%E0%A4%A', { page: 'bench', craft: '%E0%A4%A' }],
])('%s', (path, wanted) => {
  expect(routeOf(path)).toEqual(wanted);
});

it('links lead back to their page', () => {
  expect(routeOf(craftHref('a/b c'))).toEqual({ page: 'bench', craft: 'a/b c' });
});
