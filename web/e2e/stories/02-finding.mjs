import assert from 'node:assert/strict';
import { brokenCraft, openBench, plainSpaces } from '../bench.mjs';

export default {
  name: 'a finding opens with margin, certainty, mend, working and its pair in 3D, and can be linked to',
  async run({ page, url, shot }) {
    const { id, view, finding } = await brokenCraft(url);
    await openBench(page, url, id);
    await page.getByRole('button', { name: finding.message }).first().click();
    const entry = page.getByRole('article').filter({ hasText: finding.message }).first();
    await entry.getByText('Working').waitFor();
    const words = plainSpaces(await entry.innerText());
    const figure = view.figures.find((one) => one.id === finding.figure);
    assert.ok(words.includes(figure.label), 'the working names its figure');
    assert.ok(words.includes(figure.terms[0].label), 'the working has its terms');
    assert.ok(words.includes(figure.source.line), 'the working has its source');
    assert.ok(words.includes(finding.certainty_words), 'the certainty stands in words');
    for (const mend of finding.mends) assert.ok(words.includes(mend), 'the mend stands there');
    // The dimension line letters the distance between the two witness points.
    const [a, b] = [finding.witness.on_a, finding.witness.on_b];
    const apart = Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    await page
      .locator('.sheet3d svg text')
      .filter({ hasText: apart.toFixed(1) })
      .waitFor();
    assert.ok(
      new URL(page.url()).searchParams.get('finding') === finding.key,
      'the address names the finding',
    );
    await shot('finding');
    await page.reload();
    await entry.getByText('Working').waitFor();
    // The rule's own explanation is one link away.
    await entry.getByRole('link', { name: /^Rule:/ }).click();
    await page.getByRole('heading', { name: finding.rule_asks }).waitFor();
    assert.equal(new URL(page.url()).pathname, `/manual/rules/${finding.rule}`);
  },
};
