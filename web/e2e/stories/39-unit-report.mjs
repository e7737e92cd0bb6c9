import assert from 'node:assert/strict';
import { noSidewaysScroll, seriousFaults } from '../bench.mjs';

const unitOf = async (url, label) =>
  (await (await fetch(`${url}/api/load`)).json()).units.find((unit) => unit.label === label);

export default {
  name: 'what a unit reports and its settings before and after a load are written down where they are read',
  viewport: { width: 390, height: 844 },
  async run({ page, url, shot }) {
    await page.goto(`${url}/load`);
    await page.getByText('level 200 mW → 25 mW').waitFor();
    await page.getByText('Like 2.4 on G-1 club box in the first number only').waitFor();
    await page.getByText('On the way to 2.4 it goes to 2.0 first').waitFor();
    const unit = page.locator('li').filter({ hasText: 'What T-2 Siskin reports' });
    await unit.getByText('What T-2 Siskin reports').click();
    const [version, before, after] = [
      unit.getByLabel('Version it reports'),
      unit.getByLabel(/^Settings before a load/),
      unit.getByLabel(/^The same read after it/),
    ];
    await page.waitForFunction(() => document.querySelector('details[open] input')?.value === '2.4');
    assert.equal(await version.inputValue(), '2.4', 'what is known stands there already');
    assert.match(await before.inputValue(), /level = 200 mW/);
    assert.match(await after.inputValue(), /level = 25 mW/);
    await unit.scrollIntoViewIfNeeded();
    await shot('load-unit-report');
    await noSidewaysScroll(page, 'the report of a unit');
    assert.deepEqual(await seriousFaults(page, 'the report of a unit'), []);

    // A line that is no setting is told, and nothing is kept.
    await after.fill('level');
    await unit.getByRole('button', { name: 'Keep what it reports' }).click();
    await unit.getByText('“level” is no setting').waitFor();
    await after.fill(await before.inputValue());
    await unit.getByRole('button', { name: 'Keep what it reports' }).click();
    await page.getByText('level 200 mW → 25 mW').waitFor({ state: 'detached' });
    const kept = await unitOf(url, 'T-2 Siskin');
    assert.equal(kept.version, '2.4');
    assert.ok(kept.digest, 'what it carries is still known');
    assert.deepEqual(kept.settings_lost, []);

    // Described again it shows what is known; what is emptied is taken out, and the rest stays.
    const form = page.locator('details').filter({ hasText: 'what is written on it' });
    await form.locator('summary').click();
    await form.getByLabel('Label').fill('T-2 Siskin');
    await form.getByLabel('Label').press('Tab');
    await form.getByText('Unit T-2 Siskin is known').waitFor();
    assert.equal(await form.getByLabel('Version it reports').inputValue(), '2.4');
    await shot('load-unit-known');
    await form.getByLabel('In the craft').selectOption('');
    await form.getByRole('button', { name: 'Keep the unit' }).click();
    await page.getByText('Unit T-2 Siskin is kept.').waitFor();
    const spare = await unitOf(url, 'T-2 Siskin');
    assert.equal(spare.craft, null, 'it is taken out of the craft');
    assert.deepEqual([spare.version, spare.digest, spare.kind], [kept.version, kept.digest, kept.kind]);
  },
};
