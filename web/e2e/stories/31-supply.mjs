import assert from 'node:assert/strict';
import { fleetOf, openBench } from '../bench.mjs';

export default {
  name: 'a builder of a one-cell craft sees at which charge a punch takes the picture, and moves the charge, warmth and level',
  async run({ page, url, shot }) {
    const id = (await fleetOf(url)).craft.find((craft) => craft.name === 'Redpoll').id;
    await openBench(page, url, id, '?pane=feed-punch');
    const punch = page.locator('#pane-feed-punch');
    const status = punch.locator('p[role="status"]');
    await punch.getByText('A punch takes the picture below', { exact: false }).waitFor();
    assert.match(await status.innerText(), /below 38 %/);
    await punch.locator('img').waitFor();
    await punch.scrollIntoViewIfNeeded();
    await shot('supply-punch');
    const charge = punch.getByLabel('Charge at landing');
    const before = await status.innerText();
    await charge.fill('70');
    await page.waitForFunction(
      ([sel, old]) => document.querySelector(`${sel} p[role=status]`)?.textContent !== old,
      ['#pane-feed-punch', before],
    );
    assert.match(await status.innerText(), /at 70 %/);
    await punch.getByRole('button', { name: 'Back to what is planned' }).click();
    await punch.getByText('at 25 %', { exact: false }).first().waitFor();

    for (const [word, says] of [
      ['feed-flight', 'The video'],
      ['feed-endurance', 'Half of all flights last'],
      ['feed-heat', 'on the bench in still air'],
    ]) {
      await openBench(page, url, id, `?pane=${word}`);
      const pane = page.locator(`#pane-${word}`);
      await pane.getByText(says, { exact: false }).first().waitFor();
      await pane.locator('img').first().waitFor();
      await pane.scrollIntoViewIfNeeded();
      await shot(`supply-${word}`);
    }
    const weak = (await fleetOf(url)).craft.find((craft) => craft.name === 'Siskin').id;
    await openBench(page, url, weak, '?pane=feed-rails');
    const rails = page.locator('#pane-feed-rails');
    await rails.getByRole('rowheader', { name: /9 V of flight controller/ }).waitFor();
    assert.match(await rails.locator('table').innerText(), /0\.70/);
    await rails.scrollIntoViewIfNeeded();
    await shot('supply-rails');
  },
};
