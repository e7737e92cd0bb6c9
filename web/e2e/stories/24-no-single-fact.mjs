import assert from 'node:assert/strict';
import { fleetOf, benchOf, openBench, saved, valueBox } from '../bench.mjs';

export default {
  name: 'a verdict that no measurement would settle says so',
  async run({ page, url, shot }) {
    const fleet = await fleetOf(url);
    const { id } = fleet.craft.find((one) => one.verdict === 'tight');
    const place = (await benchOf(url, id)).places.find((one) => one.kind === 'camera');
    await openBench(page, url, id, `?place=${place.id}`);
    // As wide as its mount, and both known as well as calipers tell.
    const box = valueBox(page, 'body width');
    await box.fill('14.9 mm, measured');
    await box.press('Enter');
    await saved(page);
    const finding = (await benchOf(url, id)).findings.find(
      (one) => one.rule === 'match.camera_width' && one.verdict !== 'sound',
    );
    assert.ok(finding?.no_single_fact, 'no single fact would change it');
    await page.getByRole('button', { name: finding.message }).first().click();
    const entry = page.getByRole('article').filter({ hasText: finding.message }).first();
    await entry.getByText(finding.no_single_fact.words).waitFor();
    await shot('no-single-fact');
  },
};
