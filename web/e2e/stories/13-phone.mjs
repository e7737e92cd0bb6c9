import assert from 'node:assert/strict';
import { brokenCraft, fleetOf, noSidewaysScroll, openBench } from '../bench.mjs';

export default {
  name: 'on a phone nothing scrolls sideways, the ledger comes first and the craft folds out',
  viewport: { width: 390, height: 844 },
  async run({ page, url, shot }) {
    const { id, finding, view } = await brokenCraft(url);
    const part = view.parts[0].id;
    for (const path of [
      '/',
      '/parts',
      `/parts/${part}`,
      '/manual',
      '/manual/rules',
      '/manual/checks',
      '/manual/sheet',
    ]) {
      await page.goto(url + path);
      await page.getByRole('heading', { level: 1 }).waitFor();
      await page.waitForLoadState('networkidle');
      await noSidewaysScroll(page, path);
    }
    assert.ok((await fleetOf(url)).craft.length > 0);
    await openBench(page, url, id);
    const top = async (locator) => (await locator.boundingBox()).y;
    const ledger = await top(page.getByRole('heading', { name: 'Findings', exact: true }));
    const craft = page.getByText('The craft in 3D');
    assert.ok(ledger < (await top(craft)), 'the ledger comes first');
    await page.getByRole('button', { name: finding.message }).first().click();
    await shot('phone-finding');
    await noSidewaysScroll(page, 'an open finding');
    await page.getByRole('button', { name: 'Show in 3D' }).click();
    await page.locator('.sheet3d svg text').first().waitFor();
    await shot('phone-3d');
    await page.locator(`#place-${view.places[0].id}`).click();
    await noSidewaysScroll(page, 'an open place');
    const small = await page.evaluate(() => {
      const texts = [...document.querySelectorAll('main *, header *')].filter(
        (one) =>
          one.checkVisibility() &&
          [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim()),
      );
      return texts
        .filter((one) => parseFloat(getComputedStyle(one).fontSize) < 14)
        .map((one) => one.outerHTML.slice(0, 80));
    });
    assert.deepEqual(small, [], 'no text is under 14 px');
  },
};
