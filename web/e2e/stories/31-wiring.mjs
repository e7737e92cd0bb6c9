import assert from 'node:assert/strict';
import { benchOf, fleetOf, noSidewaysScroll, openBench, saved, seriousFaultsInBoth } from '../bench.mjs';

const broken = async (url, id, rule) =>
  (await benchOf(url, id)).findings.filter((one) => one.rule === rule && one.verdict === 'broken');

export default {
  name: 'a crossed pair is marked on the wiring diagram, named as why the level stays low, and mended by keyboard and by click',
  async run({ page, url, shot }) {
    const id = (await fleetOf(url)).craft.find((one) => one.name === 'Brambling').id;
    const before = await broken(url, id, 'wire.crossing');
    assert.match(before[0].message, /stuck at its lowest level, shows no overlay text/);
    await openBench(page, url, id);
    const pane = page.locator('#pane-wiring');
    await pane.locator('> summary').focus();
    await page.keyboard.press('Enter');
    const frame = pane.getByRole('group', { name: 'Wiring diagram' });
    await frame.waitFor();
    await pane.getByText('The pair is crossed').waitFor();
    await frame.scrollIntoViewIfNeeded();
    await shot('wiring');
    assert.deepEqual(await seriousFaultsInBoth(page, 'wiring'), []);

    // By keyboard: a pad, then the one it shall go to.
    const pad = (name) => frame.getByRole('button', { name: new RegExp(`^${name},`) });
    await pad('fc/VT').focus();
    await page.keyboard.press('Enter');
    await pane.getByText('fc/VT is chosen').waitFor();
    await pad('vtx/RX').focus();
    await page.keyboard.press('Enter');
    await saved(page);
    await frame.getByRole('button', { name: /^fc\/VT, send, joined to vtx\/RX/ }).waitFor();
    // By click: the other one.
    await pad('fc/VR').click();
    await pad('vtx/TX').click();
    await frame.getByRole('button', { name: /^fc\/VR, receive, joined to vtx\/TX/ }).waitFor();
    assert.deepEqual(await broken(url, id, 'wire.crossing'), []);
    await shot('wiring-mended');

    // Taken back step by step, and mended again in one.
    for (let step = 0; step < 2; step += 1) {
      const { revision } = (await benchOf(url, id)).craft;
      await fetch(`${url}/api/craft/${id}/undo`, { method: 'POST' });
      void revision;
    }
    assert.equal((await broken(url, id, 'wire.crossing')).length, 1);
    await openBench(page, url, id, '?pane=wiring');
    if (!(await pane.evaluate((one) => one.open))) await pane.locator('> summary').click();
    await pane.getByRole('button', { name: 'Swap the two' }).click();
    await frame.getByRole('button', { name: /^fc\/VT, send, joined to vtx\/RX/ }).waitFor();
    assert.deepEqual(await broken(url, id, 'wire.crossing'), []);

    // Gauge and colour are entered in the list, and what they do to the supply is told at once.
    const gauge = pane.getByLabel('gauge of fc/V9 – vtx/VCC');
    await gauge.fill('40');
    await gauge.press('Tab');
    await saved(page);
    assert.equal((await broken(url, id, 'feed.wire_drop')).length, 1, 'hair-thin wire for the video is told');
    await gauge.fill('26');
    await gauge.press('Tab');
    await saved(page);
    await pane.getByLabel('colour of fc/V9 – vtx/VCC').selectOption('orange');
    await saved(page);
    assert.deepEqual(await broken(url, id, 'feed.wire_drop'), []);

    // By the two boxes, on a phone: what a hand cannot hit is chosen from a list.
    await page.setViewportSize({ width: 390, height: 844 });
    await noSidewaysScroll(page, 'the wiring');
    await pane.getByLabel('From pad').selectOption('fc/T2');
    await pane.getByLabel('to pad').selectOption('rx/RX');
    await pane.getByRole('form', { name: 'Join two pads' }).scrollIntoViewIfNeeded();
    await shot('phone-wiring');
    await pane.getByRole('button', { name: 'Rewire', exact: true }).click();
    await frame.getByRole('button', { name: /^fc\/T2, send, joined to rx\/RX/ }).waitFor();
    assert.ok((await broken(url, id, 'wire.crossing')).length > 0, 'a line taken to another port is told');
  },
};
