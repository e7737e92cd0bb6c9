import assert from 'node:assert/strict';
import { brokenCraft, seriousFaults } from '../bench.mjs';

export default {
  name: 'an accessibility scan finds nothing serious on any page, light or dark',
  async run({ page, url, say }) {
    const { id, finding, view } = await brokenCraft(url);
    const search = new URLSearchParams({ finding: finding.key, place: finding.places[0] });
    const paths = [
      '/',
      `/craft/${id}`,
      `/craft/${id}?${search}`,
      `/craft/${id}?pane=picture`,
      `/craft/${id}?pane=course`,
      '/parts',
      `/parts/${view.parts[0].id}`,
      '/manual',
      ...[
        'rules',
        'clearances',
        'doubts',
        'figures',
        'drawings',
        'prints',
        'sheet',
        'checks',
        'glossary',
        'commands',
        'keys',
      ].map((one) => `/manual/${one}`),
      '/nowhere',
    ];
    const bad = [];
    let scans = 0;
    for (const scheme of ['light', 'dark']) {
      await page.emulateMedia({ colorScheme: scheme });
      for (const path of paths) {
        await page.goto(url + path);
        await page.getByRole('heading', { level: 1 }).waitFor();
        await page.waitForLoadState('networkidle');
        scans += 1;
        bad.push(...(await seriousFaults(page, `${path} ${scheme}`)));
      }
    }
    assert.deepEqual(bad, []);
    say(`${scans} scans`);
  },
};
