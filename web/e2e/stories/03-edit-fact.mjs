import assert from 'node:assert/strict';
import { openBench, fleetOf, benchOf, saved } from '../bench.mjs';

export default {
  name: 'a missing fact is led to, entered in place, and the verdict changes at once',
  async run({ page, url, say, complaints }) {
    const fleet = await fleetOf(url);
    let target = null;
    let id = null;
    for (const craft of fleet.craft) {
      const view = await benchOf(url, craft.id);
      const unknown = view.findings.find(
        (one) => one.verdict === 'unknown' && one.missing[0]?.owner === 'part',
      );
      if (unknown) [id, target] = [craft.id, { unknown, fact: unknown.missing[0] }];
    }
    assert.ok(target, 'the demo has a craft with a fact missing');
    await openBench(page, url, id);
    await page.getByRole('button', { name: target.unknown.message }).first().click();
    await page.getByRole('button', { name: `Enter ${target.fact.label}` }).click();
    const box = page.locator('input:focus');
    await box.waitFor();
    assert.match(await box.getAttribute('id'), new RegExp(target.fact.key));
    // The whole grammar may be typed in one go; a wrong unit is refused where the hand is, and stays to be mended.
    await box.fill('7 kg, measured');
    await box.press('Enter');
    const refusal = page.locator('.field .refusal');
    await refusal.waitFor();
    say(`refused: ${(await refusal.innerText()).replaceAll('\n', ' ')}`);
    assert.equal(await box.inputValue(), '7 kg, measured');
    complaints.length = 0; // The browser notes the refused request.
    await box.fill('7.2 ± 0.1 mm, measured');
    await box.press('Enter');
    await refusal.waitFor({ state: 'detached' });
    await saved(page);
    const after = await benchOf(url, id);
    const now = after.findings.find((one) => one.key === target.unknown.key);
    assert.notEqual(now?.verdict, 'unknown', 'the finding is judged now');
    assert.equal(await box.inputValue(), '7.2');
    // The ear is told as well.
    assert.match(await page.locator('[role=status][aria-live]').innerText(), /Now (sound|tight|broken)/);
  },
};
