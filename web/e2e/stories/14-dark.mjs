import assert from 'node:assert/strict';

const paper = (page) => page.evaluate(() => getComputedStyle(document.body).backgroundColor);

export default {
  name: 'the page is dark when the system is, and as the builder chooses from then on',
  scheme: 'dark',
  async run({ page, url }) {
    await page.goto(url);
    await page.getByRole('heading', { name: 'Fleet' }).waitFor();
    assert.equal(await paper(page), 'rgb(20, 26, 31)');
    await page.getByRole('button', { name: /On paper/ }).click();
    assert.equal(await paper(page), 'rgb(247, 244, 236)');
    await page.reload();
    await page.getByRole('heading', { name: 'Fleet' }).waitFor();
    assert.equal(await paper(page), 'rgb(247, 244, 236)');
  },
};
