import assert from 'node:assert/strict';
import { fleetOf, noSidewaysScroll, openBench, seriousFaultsInBoth } from '../bench.mjs';

const SHEETS = ['top', 'side', 'front', 'exploded', 'template', 'card'];

export default {
  name: 'the drawings of a craft open on the bench, stand in the address and come as SVG, PDF and PNG',
  async run({ page, url, shot }) {
    const id = (await fleetOf(url)).craft[0].id;
    const asked = [];
    page.on('request', (request) => asked.push(new URL(request.url()).pathname));
    await openBench(page, url, id);
    const drawings = () => asked.filter((path) => path.includes('/draw/')).length;
    assert.equal(drawings(), 0, 'nothing is drawn before it is asked for');
    await page.locator('#pane-drawings > summary').focus();
    await page.keyboard.press('Enter');
    await page
      .locator('#pane-drawings img')
      .nth(SHEETS.length - 1)
      .waitFor();
    assert.deepEqual(new URL(page.url()).searchParams.getAll('pane'), ['drawings']);
    const widths = await page
      .locator('#pane-drawings img')
      .evaluateAll((all) => all.map((one) => one.naturalWidth));
    assert.ok(
      widths.every((width) => width > 100),
      `every preview has a picture: ${widths}`,
    );
    await page.locator('#pane-drawings').scrollIntoViewIfNeeded();
    await shot('drawings');
    assert.deepEqual(await seriousFaultsInBoth(page, 'drawings'), []);
    // An edit while they are open draws them anew.
    const before = drawings();
    await page.evaluate(
      (path) =>
        fetch(path, {
          method: 'POST',
          headers: { 'content-type': 'application/json' },
          body: JSON.stringify({ edit: { do: 'set_craft', key: 'name', text: 'Renamed' } }),
        }),
      `/api/craft/${id}/edit`,
    );
    await page.evaluate(() => window.dispatchEvent(new Event('focus')));
    await page.getByRole('img', { name: /From above: Renamed/ }).waitFor();
    await page.waitForLoadState('networkidle');
    assert.ok(drawings() >= before + SHEETS.length, 'every open drawing is drawn anew');
    await page.setViewportSize({ width: 390, height: 844 });
    await noSidewaysScroll(page, 'the drawings');
    await page.locator('#pane-drawings').scrollIntoViewIfNeeded();
    await shot('phone-drawings');
    for (const sheet of SHEETS) {
      for (const format of ['svg', 'pdf', 'png']) {
        const href = `/api/craft/${id}/draw/${sheet}.${format}`;
        assert.equal(await page.locator(`#pane-drawings .files a[href="${href}"]`).count(), 1, href);
      }
    }
    for (const [file, first] of [
      ['card.pdf', '%PDF'],
      ['top.png?dots_per_inch=50', 'PNG'],
    ]) {
      const answer = await page.request.get(`${url}/api/craft/${id}/draw/${file}`);
      assert.ok(answer.ok() && (await answer.body()).subarray(0, 8).includes(first), file);
    }
  },
};
