import assert from 'node:assert/strict';
import { fleetOf, benchOf, openBench, saved, valueBox } from '../bench.mjs';

export default {
  name: 'an edit is undone and done again, by button and by key, with words of what that is',
  async run({ page, url }) {
    const { id } = (await fleetOf(url)).craft[0];
    const view = await benchOf(url, id);
    const place = view.places.find((one) => one.kind === 'video_transmitter');
    await openBench(page, url, id, `?place=${place.id}`);
    const box = valueBox(page, 'x');
    const before = await box.inputValue();
    await box.fill('-3.5');
    await box.press('Enter');
    const undo = page.getByRole('button', { name: /^Undo:/ });
    await undo.waitFor();
    assert.match(await undo.innerText(), new RegExp(place.id));
    await undo.click();
    await page.getByRole('button', { name: /^Redo:/ }).waitFor();
    assert.equal(await box.inputValue(), before);
    await page.locator('h1').click();
    await page.keyboard.press('Control+Shift+KeyZ');
    await undo.waitFor();
    assert.equal(await box.inputValue(), '-3.5');
    await page.keyboard.press('Control+KeyZ');
    await page.getByRole('button', { name: /^Redo:/ }).waitFor();
    assert.equal(await box.inputValue(), before);
    await saved(page);
    await page.getByRole('button', { name: 'Changes' }).click();
    await page.getByRole('dialog').getByRole('listitem').first().waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
  },
};
