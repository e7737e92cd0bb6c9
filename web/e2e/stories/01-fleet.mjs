import assert from 'node:assert/strict';
import { fleetOf, plainSpaces } from '../bench.mjs';

export default {
  name: 'the fleet shows every craft with its verdict and what is worst, at a glance',
  async run({ page, url, shot }) {
    const fleet = await fleetOf(url);
    assert.ok(fleet.craft.length >= 1, 'the demo has craft');
    await page.goto(url);
    await page.getByRole('heading', { name: 'Fleet' }).waitFor();
    for (const craft of fleet.craft) {
      const card = page
        .getByRole('article')
        .filter({ has: page.getByRole('heading', { name: craft.name, exact: true }) });
      const words = plainSpaces(await card.innerText());
      assert.match(words, /demo/);
      assert.ok(words.includes(craft.verdict), `${craft.name} says ${craft.verdict}`);
      if (craft.worst) assert.ok(words.includes(craft.worst), `${craft.name} tells its worst finding`);
      if (craft.counts.sound > 0) assert.ok(words.includes(`${craft.counts.sound} sound`));
      assert.ok((await card.locator('.outline svg *').count()) > 3, `${craft.name} is drawn`);
    }
    await shot('fleet');
    const link = page.getByRole('link', { name: fleet.craft[0].name, exact: true });
    await link.click();
    await page.getByRole('heading', { level: 1, name: fleet.craft[0].name }).waitFor();
    await page.goBack();
    await page.getByRole('heading', { name: 'Fleet' }).waitFor();
  },
};
