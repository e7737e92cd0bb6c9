import assert from 'node:assert/strict';
import { valueBox } from '../bench.mjs';

export default {
  name: 'a part is described on its data sheet, duplicated and edited; one in use is not removed',
  async run({ page, url, shot, complaints }) {
    await page.goto(`${url}/parts`);
    await page.getByRole('button', { name: 'New part' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel('What is it?').selectOption('camera');
    await dialog.getByLabel('What do you call it?').fill('Sorrel nano camera');
    await dialog.getByRole('button', { name: 'Open its data sheet' }).click();
    await page.getByRole('heading', { level: 1, name: 'Sorrel nano camera' }).waitFor();
    assert.ok((await page.getByText('not known yet').count()) > 3, 'core facts are asked for');

    const width = page.getByRole('group', { name: 'body width', exact: true });
    await width.locator('select').selectOption('measured');
    await width.locator('input.value').fill('14');
    await width.locator('input.tolerance').fill('0.1');
    await width.locator('input.tolerance').press('Enter');
    await page.waitForFunction(() => document.querySelector('[aria-live]')?.textContent?.includes('Saved'));
    await page.reload();
    assert.equal(await width.locator('input.value').inputValue(), '14');
    assert.equal(await width.locator('input.tolerance').inputValue(), '0.1');
    assert.equal(await width.locator('select').inputValue(), 'measured');

    await page.getByText(/^plugs and sockets/i).click();
    await page.getByRole('button', { name: 'Add a plug' }).click();
    await page.getByLabel('pull direction').selectOption('back');
    await page
      .getByText(/1 not known yet|not known yet/)
      .first()
      .waitFor();
    await shot('part');

    await page.getByRole('button', { name: 'Duplicate' }).click();
    await dialog.getByLabel('Name of the copy').fill('Sorrel nano camera, wide');
    await dialog.getByRole('button', { name: 'Duplicate' }).click();
    await page.getByRole('heading', { level: 1, name: 'Sorrel nano camera, wide' }).waitFor();
    await valueBox(page, 'body width').fill('14.4');
    await valueBox(page, 'body width').press('Enter');
    await page.waitForFunction(() => document.querySelector('[aria-live]')?.textContent?.includes('Saved'));
    await page.getByRole('button', { name: 'Remove', exact: true }).click();
    await dialog.getByRole('button', { name: /^Remove Sorrel/ }).click();
    await page.getByRole('heading', { level: 1, name: 'Parts' }).waitFor();

    await page.getByLabel('Find a part').fill('sorrel');
    await page.getByRole('link', { name: 'Sorrel nano camera', exact: true }).waitFor();
    assert.equal(await page.getByRole('link', { name: 'Sorrel nano camera, wide' }).count(), 0);

    const parts = await (await fetch(`${url}/api/parts`)).json();
    const used = parts.find((part) => part.used_by.length > 0);
    await page.goto(`${url}/parts/${used.id}`);
    await page.getByRole('button', { name: 'Remove', exact: true }).click();
    await dialog.getByRole('button', { name: /^Remove / }).click();
    await dialog.locator('.refusal').waitFor();
    complaints.length = 0;
  },
};
