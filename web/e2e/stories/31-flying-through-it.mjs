import assert from 'node:assert/strict';
import { fleetOf, noSidewaysScroll, openBench, seriousFaultsInBoth } from '../bench.mjs';

export default {
  name: 'flying through it: six curves against speed, marked at the plan and at a speed that is tried',
  async run({ page, url, shot, say }) {
    const fleet = (await fleetOf(url)).craft;
    const id = fleet.find((craft) => craft.name === 'Fieldfare').id;
    await openBench(page, url, id);
    // By keyboard: the fold is opened, and the curves stand with their values at the plan's speed.
    await page.locator('#pane-flying > summary').focus();
    await page.keyboard.press('Enter');
    const pane = page.locator('#pane-flying');
    await pane.getByRole('img').first().waitFor();
    assert.ok((await pane.getByRole('img').count()) >= 5);
    await pane.getByText("The marks stand at the plan's cruise speed.", { exact: false }).waitFor();
    const blind = pane
      .locator('figure', { hasText: 'flown before the picture shows it' })
      .locator('.figure > summary')
      .first();
    const metres = async () => Number.parseFloat((await blind.innerText()).split('\n').at(-1));
    const planned = await metres();
    await pane.scrollIntoViewIfNeeded();
    await shot('flying');
    // Twice as fast is twice as far blind.
    const slider = pane.getByRole('slider', { name: 'Marked speed' });
    await slider.focus();
    await page.keyboard.press('End');
    await pane.getByText('only tried', { exact: false }).waitFor();
    const fast = await metres();
    // At the speed that is tried each number opens its working too.
    await blind.click();
    const working = pane.locator('figure .figure[open]');
    await working.getByText('v · late', { exact: false }).waitFor();
    assert.match(await working.getByRole('row', { name: /^speed/ }).innerText(), /as marked/);
    assert.ok(Math.abs(fast / planned - 2) < 0.1, `${planned} m at the plan, ${fast} m at twice its speed`);
    await pane.getByRole('button', { name: 'Back to what is planned' }).click();
    await pane.getByText("The marks stand at the plan's cruise speed.", { exact: false }).waitFor();
    // A number of the rules opens its working.
    await pane.locator('details.figure > summary').last().click();
    await pane.locator('details.figure[open]').getByText('Source', { exact: false }).first().waitFor();
    assert.deepEqual(await seriousFaultsInBoth(page, 'flying through it'), []);
    // From a key press until the value of the new speed stands.
    await openBench(page, url, id, '?pane=flying');
    await page.locator('#pane-flying img').first().waitFor();
    await page.locator('#pane-flying').getByRole('slider', { name: 'Marked speed' }).focus();
    const times = [];
    for (let turn = 0; turn < 5; turn += 1) {
      await page.evaluate(() => {
        const shown = () => document.querySelector('#pane-flying figure .figure > summary')?.textContent;
        const before = shown();
        globalThis.tookToShow = new Promise((resolve, refuse) => {
          setTimeout(() => refuse(new Error('the curves told no other speed within 10 s')), 10_000);
          const watch = () => {
            const pressed = performance.now();
            const look = () =>
              requestAnimationFrame(shown() === before ? look : () => resolve(performance.now() - pressed));
            look();
          };
          addEventListener('keydown', watch, { capture: true, once: true });
        });
      });
      await page.keyboard.press(turn % 2 ? 'ArrowLeft' : 'ArrowRight');
      times.push(await page.evaluate(() => globalThis.tookToShow));
    }
    times.sort((a, b) => a - b);
    say(`key press to curves: median ${times[2].toFixed(0)} ms, worst ${times.at(-1).toFixed(0)} ms`);
    await page.setViewportSize({ width: 390, height: 844 });
    await openBench(page, url, id, '?pane=flying&pane=course');
    await page.locator('#pane-flying img').first().waitFor();
    await page.locator('#pane-flying').scrollIntoViewIfNeeded();
    await shot('phone-flying');
    await page.locator('#pane-course img').first().waitFor();
    await page.locator('#pane-course').scrollIntoViewIfNeeded();
    await shot('phone-course');
    await noSidewaysScroll(page, 'flying through it');
  },
};
