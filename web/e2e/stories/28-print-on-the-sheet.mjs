import assert from 'node:assert/strict';
import { benchOf, fleetOf, noSidewaysScroll, openBench, seriousFaultsInBoth } from '../bench.mjs';

const show = (page) => page.getByRole('button', { name: 'Show the wedge on the sheet' });
const caption = (page) => page.locator('figcaption .proposed');
const label = (page) => page.locator('.sheet3d svg text', { hasText: 'not on the craft yet' });

export default {
  name: 'a print is outlined on the sheet where it would stand, said to be not on the craft, and gone with its pane',
  async run({ page, url, shot, complaints }) {
    const craft = (await fleetOf(url)).craft.find((one) => one.name === 'Brambling');
    const before = await benchOf(url, craft.id);
    await openBench(page, url, craft.id, '?pane=prints');
    assert.equal(await caption(page).count(), 0);
    // By the keyboard, as all of it can be.
    await show(page).focus();
    await page.keyboard.press('Enter');
    await label(page).waitFor();
    assert.match(await caption(page).innerText(), /wedge of 18°.* not on the craft yet/);
    assert.deepEqual((await benchOf(url, craft.id)).places, before.places, 'nothing was put into the craft');
    // The way there is drawn as motion.
    await page.waitForTimeout(600);
    await shot('print-on-the-sheet');
    assert.deepEqual(await seriousFaultsInBoth(page, 'print on the sheet'), []);
    // Another print takes its place.
    await page.getByRole('button', { name: 'Show the holder on the sheet' }).click();
    await caption(page)
      .getByText(/holder/)
      .waitFor();
    await page.waitForTimeout(600);
    await shot('holder-on-the-sheet');
    await caption(page).getByRole('button', { name: 'Take it off the sheet' }).click();
    assert.equal(await caption(page).count(), 0);
    // It goes with the pane.
    await show(page).click();
    await label(page).waitFor();
    await page.locator('#pane-prints > summary').click();
    await caption(page).waitFor({ state: 'detached' });
    await label(page).waitFor({ state: 'detached' });
    await page.locator('#pane-prints > summary').click();
    // And when it is taken: then it is a part.
    await page.setViewportSize({ width: 390, height: 844 });
    await show(page).click();
    await label(page).waitFor();
    await page.waitForTimeout(600);
    await noSidewaysScroll(page, 'a print on the sheet');
    await shot('phone-print-on-the-sheet');
    const wedge = page.locator('#pane-prints').getByRole('article', { name: 'wedge', exact: true });
    await wedge.getByRole('button', { name: 'Put it into the craft' }).click();
    await wedge.getByText('It is in the craft now.').waitFor();
    await caption(page).waitFor({ state: 'detached' });
    // The wedge, and the screws that it brings.
    assert.equal((await benchOf(url, craft.id)).places.length, before.places.length + 2);
    complaints.length = 0; // the browser logs the prints that are not proposed
  },
};
