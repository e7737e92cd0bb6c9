import assert from 'node:assert/strict';
import { fleetOf, benchOf } from '../bench.mjs';

/** Goes on by Tab until something with such words is in focus. */
async function tabTo(page, words, most = 250) {
  for (let step = 0; step < most; step += 1) {
    await page.keyboard.press('Tab');
    const told = await page.evaluate(() => {
      const now = document.activeElement;
      const label = now?.id ? document.querySelector(`label[for="${CSS.escape(now.id)}"]`)?.textContent : '';
      return `${now?.getAttribute('aria-label') ?? ''} ${label ?? ''} ${now?.textContent ?? ''}`.replace(
        /\s+/g,
        ' ',
      );
    });
    if (told.includes(words)) return;
  }
  assert.fail(`“${words}” is not reached by Tab`);
}

async function seen(page) {
  const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle);
  assert.notEqual(outline, 'none', 'what is in focus is seen');
}

export default {
  name: 'the keyboard alone leads from the fleet to a finding, a fact and its undoing',
  async run({ page, url }) {
    const craft = (await fleetOf(url)).craft[0];
    const view = await benchOf(url, craft.id);
    await page.goto(url);
    await page.getByRole('article').first().waitFor();
    await page.keyboard.press('Tab');
    assert.match(await page.evaluate(() => document.activeElement.textContent), /Skip to the page/);
    await page.keyboard.press('Enter');
    assert.equal(await page.evaluate(() => document.activeElement.id), 'main');
    await tabTo(page, `Open ${craft.name}`);
    await seen(page);
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Findings', exact: true }).waitFor();
    const finding = view.findings[0];
    await tabTo(page, finding.message);
    await page.keyboard.press('Enter');
    await page
      .getByRole('article')
      .filter({ hasText: finding.message })
      .first()
      .getByText('Concerns')
      .waitFor();
    await page.keyboard.press('Escape');
    await page.getByText('Concerns').waitFor({ state: 'detached' });
    const place = view.places.find((one) => one.kind === 'video_transmitter');
    // Many findings lie between; a link leads past them.
    await page.keyboard.press('Shift+Tab');
    await page.locator('h1').evaluate((heading) => {
      heading.tabIndex = -1;
      heading.focus();
    });
    await tabTo(page, 'To the parts in their places');
    await seen(page);
    await page.keyboard.press('Enter');
    await tabTo(page, `${place.id} ${place.part_name}`);
    assert.equal(await page.evaluate(() => document.activeElement.id), `place-${place.id}`);
    await page.keyboard.press('Enter');
    await tabTo(page, 'height');
    await seen(page);
    await page.keyboard.press('Control+A');
    await page.keyboard.type('0.5');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: /^Undo:/ }).waitFor();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Control+KeyZ');
    await page.getByRole('button', { name: /^Redo:/ }).waitFor();
  },
};
