import assert from 'node:assert/strict';
import { fleetOf, benchOf, openBench, saved, valueBox } from '../bench.mjs';

export default {
  name: 'a place is moved by number, by keys, and by dragging an arrow',
  async run({ page, url, shot }) {
    const { id } = (await fleetOf(url)).craft[0];
    const view = await benchOf(url, id);
    const place = view.places.find((one) => one.kind === 'pack');
    await openBench(page, url, id, `?place=${place.id}`);
    await page.locator('.arrow').first().waitFor();
    const at = async () => {
      const now = (await benchOf(url, id)).places.find((one) => one.id === place.id);
      return ['x', 'y', 'z'].map((key) => now.values[key]?.fact.value ?? 0);
    };
    await valueBox(page, 'x').fill('-4');
    await valueBox(page, 'x').press('Enter');
    await page.getByRole('button', { name: /^Undo:/ }).waitFor();
    await saved(page);
    const numbered = await at();
    assert.equal(numbered[0], -4);

    await page.locator('h1').click();
    // Two in a row: the second starts from where the first ends.
    await page.keyboard.press('Alt+PageUp');
    await page.keyboard.press('Alt+PageUp');
    await page.waitForFunction(
      (z) => document.querySelector('.fact input[id$="-z"]')?.value === String(z),
      numbered[2] + 1,
    );
    assert.deepEqual(await at(), [-4, numbered[1], numbered[2] + 1]);

    await page.getByRole('button', { name: 'Side', exact: true }).click();
    const grip = await page.locator('.arrow[data-axis=x] polygon').boundingBox();
    await page.mouse.move(grip.x + grip.width / 2, grip.y + grip.height / 2);
    await page.mouse.down();
    await page.mouse.move(grip.x + 30, grip.y + 4, { steps: 5 });
    await page.getByText(/mm along x/).waitFor();
    await shot('dragged');
    await page.mouse.up();
    await page.getByText(/mm along x/).waitFor({ state: 'detached' });
    await page.waitForFunction(() => document.querySelector('.fact input[id$="-x"]')?.value !== '-4');
    const dragged = await at();
    assert.ok(dragged[0] > -4, `dragged to ${dragged[0]}`);
    assert.deepEqual(dragged.slice(1), [numbered[1], numbered[2] + 1], 'only x moved');
  },
};
