import assert from 'node:assert/strict';
import { benchOf, fleetOf, noSidewaysScroll, openBench, seriousFaultsInBoth } from '../bench.mjs';

const pane = (page) => page.locator('#pane-prints');
const print = (page, kind) => pane(page).getByRole('article', { name: kind, exact: true });

export default {
  name: 'a print is proposed with its picture, set otherwise, refused in words, taken as one step and undone',
  async run({ page, url, shot, complaints }) {
    const craft = (await fleetOf(url)).craft.find((one) => one.name === 'Brambling');
    const before = await benchOf(url, craft.id);
    await openBench(page, url, craft.id, '?pane=prints');
    const wedge = print(page, 'wedge');
    await wedge.getByRole('img', { name: /as it lies in the printer/ }).waitFor();
    await print(page, 'cheeks').getByText('Not proposed:').waitFor();
    for (const file of ['STL', '3MF']) {
      const loading = page.waitForEvent('download');
      await wedge.getByRole('link', { name: `wedge as ${file}` }).click();
      assert.match((await loading).suggestedFilename(), new RegExp(`\\.${file.toLowerCase()}$`));
    }
    await pane(page).scrollIntoViewIfNeeded();
    await shot('prints');
    // A print that cannot be made says so, and the craft stays as it was.
    await wedge.getByText('Set something otherwise').click();
    const slope = wedge.getByLabel('slope', { exact: true });
    await slope.fill('75');
    await slope.press('Enter');
    await wedge.getByRole('alert').getByText('must lie between 0° and 60°').waitFor();
    complaints.length = 0; // the browser logs the refusal
    await slope.fill('25');
    await slope.press('Enter');
    await wedge.getByRole('heading', { name: /wedge of 25°/ }).waitFor();
    await shot('prints-set');
    assert.deepEqual(await seriousFaultsInBoth(page, 'prints'), []);
    // By the keyboard, as all of it can be.
    await wedge.getByRole('button', { name: 'Put it into the craft' }).focus();
    await page.keyboard.press('Enter');
    await wedge.getByText('It is in the craft now.').waitFor();
    const with_it = await benchOf(url, craft.id);
    // It brings the screws that hold it.
    assert.equal(with_it.places.length, before.places.length + 2);
    assert.match(with_it.undo, /wedge of 25°/);
    await page.getByRole('button', { name: /^Undo: Print wedge/ }).click();
    await page.getByRole('button', { name: /^Redo: Print wedge/ }).waitFor();
    assert.deepEqual((await benchOf(url, craft.id)).places, before.places);
    await page.setViewportSize({ width: 390, height: 844 });
    await noSidewaysScroll(page, 'the prints');
    await print(page, 'wedge').scrollIntoViewIfNeeded();
    await shot('phone-prints');
    complaints.length = 0;
  },
};
