import assert from 'node:assert/strict';
import { fleetOf } from '../bench.mjs';

export default {
  name: 'the demo goes in one click, the builder’s own stays, and the demo comes back when asked',
  async run({ page, url }) {
    await page.goto(url);
    await page.getByRole('button', { name: 'New craft' }).click();
    await page.getByRole('dialog').getByLabel('What do you call it?').fill('Own craft');
    await page.getByRole('button', { name: 'Make the craft' }).click();
    await page.getByRole('heading', { level: 1, name: 'Own craft' }).waitFor();
    await page.getByRole('link', { name: 'Fleet', exact: true }).click();
    await page.getByRole('button', { name: 'Remove the demo workshop' }).click();
    await page.getByRole('button', { name: 'Load the demo workshop' }).waitFor();
    const left = await fleetOf(url);
    assert.deepEqual(
      left.craft.map((craft) => craft.name),
      ['Own craft'],
    );
    assert.equal(await page.getByRole('article').count(), 1);
    await page.getByRole('button', { name: 'Load the demo workshop' }).click();
    await page.getByRole('button', { name: 'Remove the demo workshop' }).waitFor();
    const own = page
      .getByRole('article')
      .filter({ has: page.getByRole('heading', { name: 'Own craft', exact: true }) });
    assert.equal(await own.getByText('demo', { exact: true }).count(), 0, 'the own craft is not marked demo');
    await own.getByRole('button', { name: /^Duplicate/ }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Duplicate' }).click();
    await page.getByRole('heading', { name: 'Own craft, copy', exact: true }).waitFor();
    await own.getByRole('button', { name: /^Remove/ }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Keep it' }).click();
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await own.getByRole('button', { name: /^Remove/ }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Remove Own craft' }).click();
    await own.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Back up the workshop' }).click();
    await page
      .getByText(/^Kept as .*creance-e2e-/)
      .first()
      .waitFor();
  },
};
