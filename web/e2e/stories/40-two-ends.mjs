import assert from 'node:assert/strict';
import { benchOf, enter, fleetOf, openBench, saved } from '../bench.mjs';

export default {
  name: 'both ends of a span are moved in either order: what the old end refused is entered beside the new one',
  async run({ page, url, shot, complaints }) {
    const id = (await fleetOf(url)).craft.find((craft) => craft.name === 'Linnet').id;
    const airs = async () => {
      const { values } = (await benchOf(url, id)).craft;
      return [values.coldest.fact.value, values.hottest.fact.value].map(Number);
    };
    await openBench(page, url, id);
    await page.getByRole('button', { name: 'Facts of the craft' }).click();
    const [coldest, hottest] = await airs();
    assert.ok(coldest < hottest && hottest < 40);
    const cold = page.locator('#craft-coldest');
    await cold.fill(String(hottest + 5));
    await cold.blur();
    await page.getByRole('alert').getByText('if both are to be another', { exact: false }).waitFor();
    assert.deepEqual(await airs(), [coldest, hottest]);
    await shot('two-ends-refused');
    // The browser tells of every refusal by itself.
    complaints.length = 0;

    await enter(page, 'craft-hottest', String(hottest + 10));
    await page.waitForFunction(() => !document.querySelector('#craft-coldest[aria-invalid="true"]'));
    await saved(page);
    assert.deepEqual(await airs(), [hottest + 5, hottest + 10]);
    await shot('two-ends-entered');
  },
};
