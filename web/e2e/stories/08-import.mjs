import assert from 'node:assert/strict';
import { fleetOf } from '../bench.mjs';

const BAD = `creance_sheet = 1

[craft]
name = "Wren"

[part.frame]
kind = "frame"
name = "Wren frame"
mass = "heavy"
widht = "30 mm"

[place.vtx]
part = "nothing"
on = "body"
`;

export default {
  name: 'a bad sheet is refused whole, each fault with line and column; the mended one comes in',
  async run({ page, url, shot, complaints }) {
    const before = (await fleetOf(url)).craft.length;
    await page.goto(url);
    await page.getByRole('button', { name: 'Import a sheet' }).click();
    const text = page.getByLabel('Or paste its text');
    await text.fill(BAD);
    await page.getByRole('button', { name: 'Import the text' }).click();
    const faults = page.locator('.faults li');
    await faults.first().waitFor();
    const told = (await faults.allInnerTexts()).join('\n');
    assert.ok((await faults.count()) >= 3, told);
    assert.match(told, /line 9, column \d+/);
    assert.match(told, /line 10, column \d+/);
    assert.match(told, /line 13, column \d+/);
    await shot('import-faults');
    assert.equal((await fleetOf(url)).craft.length, before, 'nothing came in');
    complaints.length = 0; // The browser notes the refused request.

    const good = BAD.replace('mass = "heavy"\nwidht = "30 mm"', 'mass = "90 g, measured"').replace(
      /\[place\.vtx][^]*$/,
      '[place.frame]\npart = "frame"\non = "body"\n',
    );
    await page
      .getByLabel('Choose a sheet')
      .setInputFiles({ name: 'wren.toml', mimeType: 'text/plain', buffer: Buffer.from(good) });
    await page.getByRole('heading', { level: 1, name: 'Wren' }).waitFor();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: 'Export' }).click(),
    ]);
    assert.equal(download.suggestedFilename(), 'wren.toml');
  },
};
