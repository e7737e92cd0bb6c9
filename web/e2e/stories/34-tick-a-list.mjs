import assert from 'node:assert/strict';
import { fleetOf, noSidewaysScroll, seriousFaults } from '../bench.mjs';

export default {
  name: 'on a phone a crash asks for its list, the list is ticked, and the journal has it',
  viewport: { width: 390, height: 844 },
  async run({ page, url, shot, say }) {
    const craft = (await fleetOf(url)).craft[0];
    await page.goto(`${url}/journal`);
    const form = page.getByRole('form', { name: 'New entry' });
    await form.getByLabel('Kind').selectOption('crashed');
    await form.getByLabel('Craft').selectOption(craft.id);
    await form.getByLabel('In your words').fill('Clipped the second gate');
    await form.getByRole('button', { name: 'Enter it' }).click();
    await page.getByText('It is in the journal.').first().waitFor();
    // Of the same second it may be, and still it came after the crash.
    await form.getByLabel('Kind').selectOption('flown');
    await form.getByLabel('Minutes flown').fill('4,5');
    await form.getByLabel('Packs, with commas').fill('P1');
    await form.getByRole('button', { name: 'Enter it' }).click();
    await page.locator('li.flown').first().getByText('4.5 min').waitFor();
    await noSidewaysScroll(page, 'the journal');
    await shot('journal-phone');

    await page.goto(`${url}/care`);
    await page.getByRole('link', { name: craft.name }).waitFor();
    await noSidewaysScroll(page, 'care of all');
    await page.getByRole('link', { name: craft.name }).click();
    await page.getByText('Flown once since a crash without being looked over').waitFor();
    await shot('care-due');
    const list = page.locator('details').filter({ hasText: 'List after a crash' });
    await list.locator('summary').click();
    const boxes = list.getByRole('checkbox');
    const count = await boxes.count();
    assert.ok(count > 8, `${count} lines`);
    const size = await list.locator('li label').first().boundingBox();
    assert.ok(size.height >= 44, 'a line is large enough for a thumb');
    for (let n = 0; n < count; n += 1) await boxes.nth(n).check();
    await shot('care-list');
    await noSidewaysScroll(page, 'a list');
    await list.getByRole('button', { name: 'All ticked: enter it' }).click();
    await page.getByText('The list after a crash is in the journal.').first().waitFor();
    assert.equal(await page.getByText('without being looked over').count(), 0, 'the rule is satisfied');

    await page.getByText('Count something else').click();
    await page.getByLabel('What', { exact: true }).fill('pigtail');
    await page.getByLabel('So far').fill('29');
    await page.getByRole('button', { name: 'Count it' }).click();
    await page.getByText('near its end').waitFor();
    const more = page.getByRole('button', { name: 'One more on pigtail', exact: true });
    await more.click();
    await page.getByText('30 of 30').first().waitFor();
    await more.click();
    await page.getByText('past its life').waitFor();
    await shot('care-counters');
    for (const where of ['/journal', '/care', `/care/${craft.id}`, '/load', '/phone', '/spares']) {
      await page.goto(url + where);
      await page.getByRole('heading', { level: 1 }).waitFor();
      await page.waitForLoadState('networkidle');
      await noSidewaysScroll(page, where);
      assert.deepEqual(await seriousFaults(page, where), []);
    }
    await page.goto(url);
    await page.getByText('Pigtail: 31 of 30 matings').waitFor();
    say(`${count} lines ticked`);
  },
};
