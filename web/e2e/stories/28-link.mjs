import assert from 'node:assert/strict';
import { fleetOf, noSidewaysScroll, openBench, seriousFaultsInBoth } from '../bench.mjs';

const PANES = ['budget', 'range', 'held', 'lobes', 'pattern', 'costs', 'station'];

/** From a key press on a slider to the picture of the new pose, in ms. */
async function pressed(page, pane, key) {
  // What waits stands ready before the key is pressed, or it would miss it.
  await page.evaluate((at) => {
    // The pose in words comes with its picture in one answer; a picture alone may look alike at two poses.
    const shown = () => document.querySelector(`${at} .asked`)?.textContent;
    const before = shown();
    globalThis.tookToShow = new Promise((resolve, refuse) => {
      setTimeout(() => refuse(new Error(`${at} told no other pose within 10 s`)), 10_000);
      const watch = () => {
        const pressed = performance.now();
        const look = () =>
          requestAnimationFrame(shown() === before ? look : () => resolve(performance.now() - pressed));
        look();
      };
      addEventListener('keydown', watch, { capture: true, once: true });
    });
  }, pane);
  await page.keyboard.press(key);
  return page.evaluate(() => globalThis.tookToShow);
}

export default {
  name: 'the link is asked for a distance, a height, a pitch, a bank and a level by sliders; every number opens its working',
  async run({ page, url, shot, say }) {
    const fleet = (await fleetOf(url)).craft;
    const id = fleet.find((craft) => craft.name === 'Fieldfare').id;
    await openBench(page, url, id);
    // By keyboard: the fold is opened, the slider moved, and what is in hand falls with distance.
    await page.locator('#pane-link-budget > summary').focus();
    await page.keyboard.press('Enter');
    const budget = page.locator('#pane-link-budget');
    await budget.getByRole('img', { name: /transmitter at/ }).waitFor();
    const inHand = async () => {
      const words = await budget.locator('p[role="status"]').innerText();
      const found = /^([\d.]+) dB (over|short of)/.exec(words);
      assert.ok(found, words);
      return found[2] === 'over' ? Number(found[1]) : -Number(found[1]);
    };
    const near = await inHand();
    await budget.scrollIntoViewIfNeeded();
    await shot('link-budget');
    await budget.getByRole('slider', { name: 'Distance' }).focus();
    await page.keyboard.press('End');
    await budget.getByText('at 5000 m', { exact: false }).first().waitFor();
    assert.ok((await inHand()) < near - 10, 'far off less is in hand');
    await budget.getByRole('button', { name: 'Back to what is planned' }).click();
    await page.waitForFunction(
      (words) => document.querySelector('#pane-link-budget p[role="status"]')?.textContent.startsWith(words),
      `${near.toFixed(1)} dB`,
    );
    // A number opens its working, with its source.
    await budget.locator('summary', { hasText: 'spreading in free space' }).click();
    await budget.getByText('32.45 + 20 · log10(f / MHz)', { exact: false }).waitFor();
    assert.ok(await budget.getByText('check your local rules', { exact: false }).first().isVisible());
    assert.ok(await budget.getByText('keep off the antenna', { exact: false }).first().isVisible());
    // With the mouse: all other panes.
    for (const what of PANES.slice(1)) {
      const pane = page.locator(`#pane-link-${what}`);
      await pane.locator(':scope > summary').click();
      await pane.locator('.asked').waitFor();
      if (what !== 'costs') await pane.getByRole('img').first().waitFor();
      await pane.scrollIntoViewIfNeeded();
      await shot(`link-${what}`);
    }
    for (const what of ['budget', 'range'])
      await page
        .locator(`#pane-link-${what}`)
        .getByText(/With better antennas, .* it would hold to [\d.]+ m at/)
        .waitFor();
    await page.locator('#pane-link-costs').getByText('a turn banked 60°', { exact: false }).first().waitFor();
    await page.locator('#pane-link-station').getByRole('table').waitFor();
    // What an antenna sends is told direction by direction, with hand and axial ratio.
    const patterns = page.locator('#pane-link-pattern');
    await patterns.locator('summary', { hasText: 'Direction by direction' }).first().click();
    const row = patterns.getByRole('row', { name: /^0°, away/ }).first();
    assert.match(await row.innerText(), /dBi.*dBi.*(right-hand|left-hand|linear).*dB/s);
    await shot('link-pattern-table');
    assert.deepEqual(await seriousFaultsInBoth(page, 'the link'), []);
    // One pane open at a time, each key press is measured until its picture stands.
    for (const what of PANES) {
      await openBench(page, url, id, `?pane=link-${what}`);
      const pane = `#pane-link-${what}`;
      // What things cost is told in words and numbers, without a picture.
      await page
        .locator(`${pane} ${what === 'costs' ? '.figure' : 'img'}`)
        .first()
        .waitFor();
      await page.locator(pane).getByRole('slider', { name: 'Height' }).focus();
      const times = [];
      for (let turn = 0; turn < 5; turn += 1)
        times.push(await pressed(page, pane, turn % 2 ? 'ArrowLeft' : 'ArrowRight'));
      times.sort((a, b) => a - b);
      say(
        `key press to picture, ${what}: median ${times[2].toFixed(0)} ms, worst ${times.at(-1).toFixed(0)} ms`,
      );
    }
    await page.setViewportSize({ width: 390, height: 844 });
    await openBench(page, url, id, `?${PANES.map((what) => `pane=link-${what}`).join('&')}`);
    for (const what of PANES) {
      const pane = page.locator(`#pane-link-${what}`);
      await pane.locator('.asked').waitFor();
      await pane.scrollIntoViewIfNeeded();
      await shot(`phone-link-${what}`);
    }
    await noSidewaysScroll(page, 'the link');
  },
};
