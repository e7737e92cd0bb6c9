import assert from 'node:assert/strict';
import { fleetOf, noSidewaysScroll, openBench, seriousFaultsInBoth } from '../bench.mjs';

export default {
  name: 'the free tilt is drawn and set on the bench, and the way of a lead is drawn in the sheet',
  async run({ page, url, shot }) {
    const fleet = (await fleetOf(url)).craft;
    const id = (fleet.find((craft) => craft.name === 'Brambling') ?? fleet[0]).id;
    await openBench(page, url, id);
    await page.locator('#pane-tilt > summary').focus();
    await page.keyboard.press('Enter');
    const dial = page.locator('#pane-tilt svg[role="img"]');
    await dial.waitFor();
    assert.match(await dial.getAttribute('aria-label'), /Set to 18°, free from/);
    await page.locator('#pane-tilt').scrollIntoViewIfNeeded();
    await shot('tilt');
    assert.deepEqual(await seriousFaultsInBoth(page, 'tilt'), []);
    await page.getByLabel('Tilt, nose up').fill('40');
    await page.keyboard.press('Enter');
    await page.locator('#pane-tilt svg[aria-label^="Set to 40°"]').waitFor();
    await page.getByText('beyond the stop').waitFor();
    await page.locator('#pane-leads > summary').focus();
    await page.keyboard.press('Enter');
    const draw = page.getByRole('button', { name: 'Draw its way in the sheet' }).first();
    await draw.focus();
    await page.keyboard.press('Enter');
    await page.locator('svg.route polyline').waitFor();
    await page.locator('#pane-leads').scrollIntoViewIfNeeded();
    await shot('leads');
    await page.locator('.sheet3d').scrollIntoViewIfNeeded();
    await shot('lead-in-the-sheet');
    assert.deepEqual(await seriousFaultsInBoth(page, 'leads'), []);
    await page.setViewportSize({ width: 390, height: 844 });
    await noSidewaysScroll(page, 'tilt and leads');
    await page.locator('#pane-tilt').scrollIntoViewIfNeeded();
    await shot('phone-tilt');
    await page.locator('#pane-leads').scrollIntoViewIfNeeded();
    await shot('phone-leads');
  },
};
