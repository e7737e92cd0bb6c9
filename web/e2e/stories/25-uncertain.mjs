import assert from 'node:assert/strict';
import { benchOf, enter, enterRow, seriousFaults } from '../bench.mjs';

/** What calipers say of the facts a stranger is asked for; all else stays as the data sheet has it. */
const CALIPERS = {
  'row-air-unit-plug-0-x': '-14.7 ± 0.05 mm, measured',
  'row-frame-standoff-0-x': '-40 ± 0.05 mm, measured',
};
const PHONE = { width: 390, height: 844 };
const DESK = { width: 1280, height: 800 };

const fouled = (view) =>
  view.findings.find((one) => one.rule === 'fit.pair_clearance' && /coax/.test(one.message));

export default {
  name: 'a stranger learns that the plug may foul a standoff, how sure that is, what to measure, and is then sure',
  workshop: 'empty',
  viewport: DESK,
  async run({ page, url, say, shot }) {
    const times = [];
    let began = Date.now();
    /** The page at both widths, and how long the step took. */
    const step = async (name) => {
      times.push(`${name} ${((Date.now() - began) / 1000).toFixed(1)} s`);
      await shot(`stranger-${times.length}-${name}`);
      await page.setViewportSize(PHONE);
      await shot(`stranger-${times.length}-${name}-phone`);
      await page.setViewportSize(DESK);
      began = Date.now();
    };
    const next = page.getByRole('complementary', { name: 'Next step' });
    const dialog = page.getByRole('dialog');
    const follow = async (wanted) => {
      await next.getByText(wanted).waitFor();
      await next.getByRole('button').click();
    };
    const inRow = (stem) =>
      page.waitForFunction((begin) => document.activeElement?.id.startsWith(begin), stem);
    const table = async (wanted, stem, part, key, facts, name) => {
      await follow(wanted);
      await page.keyboard.press('Enter');
      await inRow(stem);
      await enterRow(page, part, key, 0, facts);
      await step(name);
    };

    await page.goto(url);
    await page.getByLabel('What do you call it?').waitFor();
    await step('empty');
    await page.getByLabel('What do you call it?').fill('Linnet');
    await page.getByRole('combobox').selectOption('open_3');
    await page.getByRole('button', { name: 'Make the craft' }).click();
    await follow('Add the frame');
    await dialog.getByLabel('What do you call it?').fill('Frame');
    await step('frame');
    await dialog.getByRole('button', { name: 'Add it' }).click();

    await follow('Enter the bottom plate');
    await page.keyboard.press('Enter');
    await inRow('row-frame-plate-0-');
    await page.getByLabel('Length along x').fill('90');
    await page.getByLabel('Width along y').fill('32');
    await step('rectangle');
    await page.getByRole('button', { name: 'Fill in the four corners' }).click();
    await enterRow(page, 'frame', 'plate', 0, {
      role: 'bottom',
      material: 'carbon',
      thickness: '2 ± 0.05 mm, measured',
      z: '-2',
    });
    const plate = (await benchOf(url, 'linnet')).parts[0].tables.plate[0];
    assert.equal(plate.outline.points.length, 4, 'the rectangle has its four corners');
    await step('plate');
    await table(
      'Enter the standoffs',
      'row-frame-standoff-0-',
      'frame',
      'standoff',
      {
        x: '-40 mm, data sheet',
        y: '12 mm, data sheet',
        diameter: '5 mm, measured',
        height: '20 mm, data sheet',
      },
      'standoff',
    );
    await table(
      'Enter a hole pattern',
      'row-frame-pattern-0-',
      'frame',
      'pattern',
      {
        name: 'rear',
        plate: 'plate 1',
        x: '-22 mm, data sheet',
        pitch: '20 mm, measured',
        hole: '2.2 mm, measured',
      },
      'pattern',
    );
    await table(
      'Enter the camera mount',
      'row-frame-camera_mount-0-',
      'frame',
      'camera_mount',
      { x: '38', z: '9', clear_width: '14.5 mm, measured' },
      'camera-mount',
    );
    await table(
      'Enter the motor mounts',
      'row-frame-motor_mount-0-',
      'frame',
      'motor_mount',
      { x: '50', y: '50', plate_thickness: '4 mm, measured' },
      'motor-mount',
    );
    for (let n = 0; n < 8 && !(await next.getByText('Add the video transmitter').isVisible()); n += 1) {
      await next.getByRole('button').click();
      await page.waitForFunction(() => document.activeElement instanceof HTMLInputElement);
      const id = await page.evaluate(() => document.activeElement.id);
      await enter(page, id, id.endsWith('mass') ? '48' : '4');
    }
    await follow('Add the video transmitter');
    await dialog.getByLabel('What do you call it?').fill('Air unit');
    await step('add-transmitter');
    await dialog.getByRole('button', { name: 'Add it' }).click();
    await page.locator('#part-air-unit-length').waitFor();
    await enter(page, 'place-air-unit-z', '4 mm, measured');
    for (const [key, text] of Object.entries({ length: '29', width: '30', height: '7', mass: '8.2' }))
      await enter(page, `part-air-unit-${key}`, text);
    await page.getByText(/^plugs and sockets/i).click();
    await page.getByRole('button', { name: 'Add a plug' }).click();
    await inRow('row-air-unit-plug-0-');
    await step('plug-empty');
    await enterRow(page, 'air-unit', 'plug', 0, {
      name: 'coax',
      use: 'coax',
      x: '-14.3 ± 1 mm, data sheet',
      y: '12 mm, data sheet',
      z: '3',
      length: '3',
      width: '3',
      height: '2.5',
      pull: 'up',
    });
    await step('plug');

    // By how much, how sure, what to measure first.
    let finding = fouled(await benchOf(url, 'linnet'));
    assert.ok(
      finding.certainty > 0.05 && finding.certainty < 0.95,
      `the case is uncertain: ${finding.certainty}`,
    );
    await page.getByRole('button', { name: finding.message }).first().click();
    const entry = page.getByRole('article').filter({ hasText: 'Measure next' }).first();
    await entry.getByText('Measure next', { exact: true }).waitFor();
    await page.locator('.sheet3d svg text').first().waitFor();
    assert.deepEqual(await seriousFaults(page, 'an uncertain finding'), []);
    await step('uncertain');

    const told = [`${finding.message}: ${finding.certainty_words}`];
    for (
      let n = 0;
      n < 6 && finding.measure_next && finding.verdict !== 'sound' && finding.certainty > 0.02;
      n += 1
    ) {
      await entry.getByRole('button', { name: finding.measure_next.label, exact: true }).click();
      await page.waitForFunction(() => document.activeElement instanceof HTMLInputElement);
      const id = await page.evaluate(() => document.activeElement.id);
      assert.ok(
        CALIPERS[id],
        `the program asks for ${finding.measure_next.label} (${id}), which calipers can tell`,
      );
      await enter(page, id, CALIPERS[id]);
      const before = finding.measure_next.label;
      finding = fouled(await benchOf(url, 'linnet'));
      told.push(`${before} measured: ${finding.verdict}, ${finding.certainty_words}`);
    }
    for (const words of told) say(words);
    assert.equal(finding.verdict, 'broken');
    assert.ok(finding.certainty < 0.05, `the verdict has settled: ${finding.certainty}`);
    await page.getByRole('button', { name: finding.message }).first().waitFor();
    await step('settled');
    say(`each step in a machine’s typing: ${times.join(', ')}`);
  },
};
