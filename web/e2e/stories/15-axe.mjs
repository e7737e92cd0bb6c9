import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { brokenCraft } from '../bench.mjs';

const AXE = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

export default {
  name: 'an accessibility scan finds nothing serious on any page, light or dark',
  async run({ page, url, say }) {
    const { id, finding, view } = await brokenCraft(url);
    const search = new URLSearchParams({ finding: finding.key, place: finding.places[0] });
    const paths = [
      '/',
      `/craft/${id}`,
      `/craft/${id}?${search}`,
      '/parts',
      `/parts/${view.parts[0].id}`,
      '/manual',
      ...['rules', 'clearances', 'doubts', 'figures', 'sheet', 'checks', 'glossary', 'commands', 'keys'].map(
        (one) => `/manual/${one}`,
      ),
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
        await page.evaluate(AXE);
        const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
        scans += 1;
        for (const one of found.violations) {
          if (one.impact !== 'serious' && one.impact !== 'critical') continue;
          bad.push(
            `${path} ${scheme}: ${one.id}: ${one.nodes
              .slice(0, 2)
              .map((node) => node.html.slice(0, 140))
              .join(' ; ')}`,
          );
        }
      }
    }
    assert.deepEqual(bad, []);
    say(`${scans} scans`);
  },
};
