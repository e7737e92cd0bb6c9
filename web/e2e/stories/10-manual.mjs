import assert from 'node:assert/strict';

export default {
  name: 'the manual opens at a linked rule, is searched, and shows every chapter',
  async run({ page, url, shot }) {
    const manual = await (await fetch(`${url}/api/manual`)).json();
    const rule = manual.rules.find((one) => one.id === 'fit.pair_clearance') ?? manual.rules[3];
    await page.goto(`${url}/manual/rules/${rule.id}`);
    const entry = page.locator(`[id="rules-${rule.id}"]`);
    await entry.waitFor();
    await page.waitForFunction((id) => document.activeElement?.id === id, `rules-${rule.id}`);
    await shot('manual-rule');
    await page.getByLabel('Search this chapter').fill('carbon conducts');
    assert.ok((await page.locator('article.entry').count()) < manual.rules.length, 'the search narrows');
    for (const chapter of await page
      .getByRole('navigation', { name: 'Chapters of the manual' })
      .getByRole('link')
      .all()) {
      const title = await chapter.innerText();
      await chapter.click();
      await page.getByRole('heading', { level: 1, name: title }).waitFor();
      const words = await page.locator('.manual > .text').innerText();
      assert.ok(words.length > 60, `${title} says something`);
    }
    await page.goto(`${url}/manual/link-and-view`);
    await page
      .getByText('link.wall_plan, broken: Behind barn the picture is lost', { exact: false })
      .waitFor();
    await shot('manual-link-and-view');
    await page.setViewportSize({ width: 390, height: 844 });
    await shot('phone-manual-link-and-view');
    await page.goto(`${url}/manual/checks`);
    await page.getByText(`${manual.checks.passed} of ${manual.checks.total} checks passed`).waitFor();
  },
};
