import assert from 'node:assert/strict';
import { benchOf, fleetOf, noSidewaysScroll, openBench, saved } from '../bench.mjs';

const PANE = '#pane-picture';

export default {
  name: 'the picture shows what stands in it, a tilt is tried without touching the craft, and set with a button',
  async run({ page, url, shot }) {
    const fleet = (await fleetOf(url)).craft;
    const id = fleet.find((one) => one.name === 'Fieldfare').id;
    await openBench(page, url, id, '?pane=picture');
    const pane = page.locator(PANE);
    await pane.getByRole('img', { name: /picture at a tilt of 15°: blades, as discs 2\.4 %/ }).waitFor();
    assert.ok(
      await pane.getByText('moving the camera alone does not serve', { exact: false }).isVisible(),
      'what would clear it, and what stops it, is said',
    );
    await pane.scrollIntoViewIfNeeded();
    await shot('picture');
    // Each share opens its working: what is judged with its doubt, what is free by what takes of it.
    const opened = async (what, says) => {
      await pane.locator('.share > summary', { hasText: what }).click();
      await pane.locator('.share', { hasText: what }).getByText(says, { exact: false }).first().waitFor();
    };
    await opened('blades, as discs', 'meet a swept disc before anything else');
    await opened('free', 'less what each solid of the craft takes');
    await shot('picture-working');
    // By keyboard: the slider is reached and moved, the craft stays.
    const slider = pane.getByRole('slider', { name: 'Try a tilt' });
    await slider.focus();
    for (let step = 0; step < 15; step += 1) await page.keyboard.press('ArrowRight');
    await pane.getByRole('img', { name: /picture at a tilt of 30°: blades, as discs 1\.4 %/ }).waitFor();
    // So far up the camera no longer fits: that is said before what the blades fill.
    await pane.locator('.verdict', { hasText: 'broken' }).waitFor();
    await pane.getByText('Only tried: the craft is unchanged.').waitFor();
    const pitch = async () => (await benchOf(url, id)).places.find((one) => one.id === 'cam').values.pitch;
    assert.match(JSON.stringify(await pitch()), /15/, 'nothing is saved by trying');
    await shot('picture-tried');
    const sheet = await pane.getByRole('link', { name: 'What the lens sees as PDF' }).getAttribute('href');
    assert.match(sheet, /view\.pdf\?tilt=30&camera=cam$/);
    // Inside a plate there is no picture, and why is said.
    await slider.fill('45');
    await pane.getByText(/lies inside top plate/).waitFor();
    await slider.fill('30');
    await pane.getByRole('button', { name: 'Set the camera to 30°' }).click();
    await pane.getByText('As the camera is set.').waitFor();
    await saved(page);
    assert.match(JSON.stringify(await pitch()), /30/);
    await page.setViewportSize({ width: 390, height: 844 });
    await noSidewaysScroll(page, 'the picture');
    await pane.scrollIntoViewIfNeeded();
    await shot('phone-picture');
  },
};
