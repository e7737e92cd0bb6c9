import assert from 'node:assert/strict';
import { noSidewaysScroll, seriousFaults } from '../bench.mjs';

/** What each page teaches while nothing is there yet. */
const TEACHES = {
  '/load': 'Begin here',
  '/journal': 'Nothing is entered yet',
  '/care': 'There is no craft yet',
  '/spares': 'No craft has a class yet',
  '/mend': 'It needs a craft first',
};

export default {
  name: 'in a new workshop each page says what it answers and what to enter first',
  workshop: 'empty',
  viewport: { width: 390, height: 844 },
  async run({ page, url, shot }) {
    for (const [where, words] of Object.entries(TEACHES)) {
      await page.goto(url + where);
      await page.getByText(words).first().waitFor();
      await noSidewaysScroll(page, where);
      assert.deepEqual(await seriousFaults(page, where), []);
      await shot(`empty${where.replace('/', '-')}`);
    }

    // The title block takes two lines, and every page is reached from it by keyboard.
    const block = await page.locator('header.block').boundingBox();
    assert.ok(block.height <= 100, `the title block is ${block.height} px high`);
    const more = page.locator('header.block summary');
    await more.focus();
    await page.keyboard.press('Enter');
    const pages = page.locator('nav.small-screen').getByRole('link');
    assert.equal(await pages.count(), 9);
    await shot('phone-more');
    await page.keyboard.press('Escape');
    await page.getByRole('link', { name: 'Spares' }).waitFor({ state: 'hidden' });
    await page.keyboard.press('Enter');
    await page.getByRole('link', { name: 'Load', exact: true }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: 'Load' }).waitFor();
    assert.equal(await more.innerText().then((text) => text.trim().split('\n')[0].startsWith('Load')), true);
    await page.getByRole('link', { name: 'Spares' }).waitFor({ state: 'hidden' });
  },
};
