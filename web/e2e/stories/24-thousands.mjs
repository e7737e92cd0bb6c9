import assert from 'node:assert/strict';
import { openBench, saved, valueBox } from '../bench.mjs';

const SOLIDS = 2000;
/** Elements a page may have, however much there is in the craft. */
const ELEMENTS_MAX = 8000;

/** Capacitors in rows, far enough apart. */
function sheet() {
  const places = Array.from(
    { length: SOLIDS },
    (_, n) =>
      `[place.c${n}]\npart = "cap"\non = "body"\nx = "${(n % 50) * 12 - 300} mm, measured"\ny = "${
        Math.floor(n / 50) * 7 - 140
      } mm"\n`,
  );
  return `creance_sheet = 1
[craft]
name = "Throng"
class = "open_5"
[part.cap]
kind = "capacitor"
name = "Cap"
diameter = "5 mm"
length = "10 mm"
mass = "1 g"
${places.join('')}`;
}

export default {
  name: 'a craft of two thousand solids is shown with words while one waits, and edited without a halt',
  workshop: 'empty',
  async run({ page, url, say, shot }) {
    const taken = await fetch(`${url}/api/import`, {
      method: 'POST',
      headers: { 'content-type': 'text/plain' },
      body: sheet(),
    });
    assert.equal(taken.status, 200);

    // The proof is held back until its words were read.
    const words = page.getByText(/Proving about 2,000 solids/);
    await page.route('**/api/craft/throng', async (route) => {
      await words.waitFor();
      await route.continue();
    });
    const opened = Date.now();
    await openBench(page, url, 'throng');
    await page.unroute('**/api/craft/throng');
    await page
      .getByText(/^\s*(Drawing .*solids…|x forward)/)
      .first()
      .waitFor();
    await page.locator('.sheet3d .over').waitFor({ state: 'detached' });
    say(`the page is drawn after ${Date.now() - opened} ms`);

    const heads = page.locator('[id^="place-c"]');
    assert.equal(await heads.count(), 100, 'the list begins with a hundred places');
    await page.getByText('100 of 2,000 places are shown.').waitFor();
    const elements = await page.evaluate(() => document.querySelectorAll('*').length);
    assert.ok(elements < ELEMENTS_MAX, `the page has ${elements} elements`);
    await page.getByText('100 of 2,000 places are shown.').locator('..').getByRole('button').click();
    await page.getByText('200 of 2,000 places are shown.').waitFor();
    await shot('thousands');

    await page.getByLabel('Find a place').fill('c1999');
    await page.locator('#place-c1999').click();
    await page.waitForURL(/place=c1999/);
    await page.getByLabel('Find a place').fill('');
    assert.ok(await page.locator('#place-c1999').isVisible(), 'what is picked is shown wherever it stands');

    const revision = await page.getByText(/^Revision \d+/).innerText();
    const box = valueBox(page, 'x');
    await box.fill('-500');
    const pressed = Date.now();
    await box.press('Enter');
    await page.getByText(revision, { exact: true }).waitFor({ state: 'detached' });
    await saved(page);
    say(`an edit is on the page after ${Date.now() - pressed} ms`);

    // Among thousands the one under the pointer is picked.
    const sheet3d = page.locator('.sheet3d');
    await page.getByRole('button', { name: 'Top', exact: true }).click();
    await sheet3d.click({ position: { x: 5, y: 5 } });
    await page.waitForURL((at) => !at.searchParams.has('place'));
    const { width, height } = await sheet3d.boundingBox();
    const step = { x: Math.round(width / 120), y: Math.round(height / 120) };
    for (let n = 0; n < 8 && !page.url().includes('place='); n += 1) {
      await sheet3d.click({ position: { x: width / 2 + n * step.x, y: height / 2 + n * step.y } });
    }
    assert.match(page.url(), /place=c\d+/, 'a tap on the drawing picks a place');

    await page.getByText('The 2,000 solids in words').click();
    await page
      .getByText(/^Cap: capacitor|round, 5 across/)
      .first()
      .waitFor();
  },
};
