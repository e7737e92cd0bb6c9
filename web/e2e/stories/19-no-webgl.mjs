import assert from 'node:assert/strict';
import { brokenCraft, openBench } from '../bench.mjs';

export default {
  name: 'without WebGL the page says so, and everything else works',
  async run({ page, url, complaints }) {
    await page.addInitScript(() => {
      HTMLCanvasElement.prototype.getContext = () => null;
    });
    const { id, finding, view } = await brokenCraft(url);
    await openBench(page, url, id);
    await page.getByText('This browser draws no 3D').waitFor();
    await page.getByRole('button', { name: finding.message }).first().click();
    await page.getByText('Working').first().waitFor();
    await page.getByText(/solids in words/).click();
    const words = await page.locator('.solids').innerText();
    const solid = view.solids.find((one) => !one.ghost);
    assert.ok(words.includes(solid.name), 'the solids are told in words');
    complaints.length = 0; // The drawing library notes the missing context.
  },
};
