import assert from 'node:assert/strict';
import { fleetOf, benchOf, openBench } from '../bench.mjs';

export default {
  name: 'a part is picked in 3D by a tap, turned by drag and keys, and told in words',
  async run({ page, url, shot }) {
    const { id } = (await fleetOf(url)).craft[0];
    const view = await benchOf(url, id);
    await openBench(page, url, id);
    const sheet = page.locator('.sheet3d');
    await page.getByRole('button', { name: 'Top', exact: true }).click();
    const box = await sheet.boundingBox();
    await page.waitForFunction(() => !document.querySelector('.sheet3d .over'));
    // From above the middle of the sheet is the middle of the craft: something is there.
    await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    await page.waitForFunction(() => new URL(location.href).searchParams.has('place'));
    const picked = new URL(page.url()).searchParams.get('place');
    assert.ok(
      view.places.some((place) => place.id === picked),
      `${picked} is a place`,
    );
    await page.locator(`#place-${picked}[aria-expanded=true]`).waitFor();
    // Drag turns; it must not pick.
    await page.mouse.move(box.x + 40, box.y + 40);
    await page.mouse.down();
    await page.mouse.move(box.x + 140, box.y + 90, { steps: 4 });
    await page.mouse.up();
    assert.equal(new URL(page.url()).searchParams.get('place'), picked);
    await sheet.focus();
    for (const key of ['ArrowLeft', 'ArrowUp', '+', '-', '2', '0']) await page.keyboard.press(key);
    await page.mouse.move(box.x + 100, box.y + 100);
    await page.mouse.wheel(0, -200);
    await shot('picked');
    await page.getByText(/solids? in words/).click();
    await page.locator('.solids li li').first().waitFor();
    assert.ok(
      (await page.locator('.solids li li').count()) >= view.solids.filter((solid) => !solid.ghost).length,
    );
  },
};
