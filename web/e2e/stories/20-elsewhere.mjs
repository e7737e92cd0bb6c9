import assert from 'node:assert/strict';
import { fleetOf, openBench } from '../bench.mjs';

export default {
  name: 'what changed in another window is shown on coming back, and a second craft does not mix in',
  async run({ page, context, url }) {
    const [first, second] = (await fleetOf(url)).craft;
    await openBench(page, url, first.id);
    const other = await context.newPage();
    await openBench(other, url, first.id);
    await other.getByRole('button', { name: 'Facts of the craft' }).click();
    await other.getByLabel('Name', { exact: true }).fill('Renamed elsewhere');
    await other.getByLabel('Name', { exact: true }).blur();
    await other.getByRole('heading', { level: 1, name: 'Renamed elsewhere' }).waitFor();
    await page.evaluate(() => window.dispatchEvent(new Event('focus')));
    await page.getByRole('heading', { level: 1, name: 'Renamed elsewhere' }).waitFor();
    if (second) {
      await page.goto(`${url}/craft/${second.id}`);
      await page.getByRole('heading', { level: 1, name: second.name }).waitFor();
      assert.equal(await page.getByRole('button', { name: /^Undo:/ }).count(), 0);
    }
  },
};
