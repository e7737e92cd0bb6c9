import assert from 'node:assert/strict';
import { benchOf, fleetOf, noSidewaysScroll, openBench } from '../bench.mjs';

const PANE = '#pane-course';

export default {
  name: 'the picture over the course turns by drag and by keyboard, leans with speed, and stands beside another',
  async run({ page, url, shot, say }) {
    const fleet = (await fleetOf(url)).craft;
    const id = fleet.find((one) => one.name === 'Fieldfare').id;
    const before = await benchOf(url, id);
    await openBench(page, url, id, '?pane=course');
    const pane = page.locator(PANE);
    const picture = pane.getByRole('img').first();
    await picture.waitFor();
    await pane.scrollIntoViewIfNeeded();
    await shot('course');
    const words = pane.locator('.words');
    assert.match(await words.innerText(), /before the first gate, at .* m\/s, nose \d+° down/);

    // By mouse: what is under the hand goes with it, so the nose turns to the left.
    await picture.scrollIntoViewIfNeeded();
    const box = await picture.boundingBox();
    const source = await picture.getAttribute('src');
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 3];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + box.width / 4, y + 10, { steps: 6 });
    await page.mouse.up();
    await pane.getByText(/turned \d+° to the left/).waitFor();
    assert.notEqual(await picture.getAttribute('src'), source, 'the picture is another one');

    // By keyboard.
    const turn = pane.getByRole('slider', { name: 'Turned' });
    await turn.focus();
    await page.keyboard.press('Home');
    await pane.getByText(/turned 180° to the right/).waitFor();
    await page.keyboard.press('ArrowRight');
    await pane.getByText(/turned 179° to the right/).waitFor();
    await turn.fill('0');

    // Speed brings the nose down; in hover it is level.
    const speed = pane.getByRole('slider', { name: 'Speed' });
    await speed.fill('0');
    await words.getByText('in hover').waitFor();
    await speed.fill('20');
    await words.getByText(/at 20 m\/s, nose \d\d° down/).waitFor();
    await pane.locator('.figure > summary', { hasText: 'nose down in level flight' }).click();
    await pane.getByText('tan θ = tan(stated)', { exact: false }).waitFor();
    const times = [];
    for (const value of [12, 13, 14, 15, 16]) {
      const from = Date.now();
      await speed.fill(String(value));
      await words.getByText(`at ${value} m/s`).waitFor();
      times.push(Date.now() - from);
    }
    times.sort((a, b) => a - b);
    say(`a move of the slider is answered within ${times[2]} ms`);
    assert.ok(times[2] < 1500, `${times} ms`);

    // Another shape beside it, with what it gains and gives up, each number with its working.
    await pane.getByLabel('Hold beside it').selectOption('4:3');
    await pane.getByText(/The second gives up .* from side to side/).waitFor();
    assert.equal(await pane.locator('.hand').getByRole('img').count(), 2);
    await pane.getByText('Where the lens looks, over speed.').waitFor();
    await shot('course-beside');
    const number = pane.getByRole('button', { name: /Working of view from side to side, second/ });
    await number.click();
    await pane.getByText('view = 2 θ at half of it', { exact: false }).first().waitFor();
    await pane.getByText('Only tried: the craft is unchanged.').waitFor();
    const sheet = await pane
      .getByRole('link', { name: 'This picture on a page as PDF' })
      .getAttribute('href');
    assert.match(sheet, /beside=4%3A3/);
    assert.deepEqual((await benchOf(url, id)).undo, before.undo, 'nothing is saved by trying');

    await page.setViewportSize({ width: 390, height: 844 });
    await noSidewaysScroll(page, 'the course');
    await pane.scrollIntoViewIfNeeded();
    await shot('phone-course');
    await pane.getByRole('button', { name: 'Back to what is built' }).click();
    await pane.getByText('As the craft is built.').waitFor();

    // A craft without a lens is told what to do.
    await page.setViewportSize({ width: 1280, height: 900 });
    const made = await fetch(`${url}/api/craft`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ name: 'No lens yet' }),
    });
    const bare = (await made.json()).id;
    await openBench(page, url, bare, '?pane=course');
    await pane.getByText('put a camera with its lens on it first', { exact: false }).waitFor();
    await shot('course-empty');
  },
};
