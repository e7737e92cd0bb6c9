import assert from 'node:assert/strict';
import { benchOf, fleetOf, noSidewaysScroll, openBench, seriousFaultsInBoth } from '../bench.mjs';

const pane = (page) => page.locator('#pane-placement');

/** The racer as it was before anybody thought of an adapter: its air unit on a pattern that its holes do not meet. */
function withoutAdapter(sheet) {
  const gone = ['adapter]', 'adapter-posts]', 'adapter-screws]'];
  const blocks = sheet.split('\n[place.').filter((block) => !gone.some((id) => block.startsWith(id)));
  const lower = (block) =>
    block
      .replace('on = "adapter/inner 20"', 'on = "frame/rear 30.5"')
      .replace('z = "1.5 mm ± 0.05, measured"', 'z = "0 mm"')
      .replace('z = "4 mm ± 0.1, measured"', 'z = "2.5 mm ± 0.1, measured"');
  const isBoards = (block) => ['vtx]', 'vtx-posts]', 'vtx-screws]'].some((id) => block.startsWith(id));
  return blocks
    .map((block) => (isBoards(block) ? lower(block) : block))
    .join('\n[place.')
    .replace('name = "Whinchat"', 'name = "Racer"')
    .replace('id = "whinchat"', 'id = "racer"');
}

export default {
  name: 'the broken demo craft becomes whole by clicks alone: search, take, print the template; an adapter where holes do not meet',
  async run({ page, url, shot }) {
    const broken = (await fleetOf(url)).craft.find((one) => one.name === 'Brambling').id;
    const before = await benchOf(url, broken);
    assert.equal(before.counts.broken, 7);
    await openBench(page, url, broken, '?pane=placement');
    await pane(page).getByRole('button', { name: 'Find the best placement' }).click();
    const best = pane(page).getByRole('article', { name: 'Placement 1' });
    await best.getByText('Swap the two serial wires at fc').waitFor();
    await best.getByText('order the stock length of 120 mm').waitFor();
    await best.getByText('nobody has seen its level rise').waitFor();
    await best.getByRole('button', { name: 'Take this' }).click();
    await pane(page).getByText('Taken: the craft is now').waitFor();
    const after = await benchOf(url, broken);
    // Tight stay the standby that nobody has seen rise, and turns behind the barn, which want another place to stand.
    assert.deepEqual([after.verdict, after.counts.broken, after.counts.tight], ['tight', 0, 4]);
    // Nothing stands about that no place uses, so no step of the guide asks for a place for it.
    assert.ok(!after.parts.some((part) => part.name === 'M2×7 button'));
    assert.equal(after.next_step?.action ?? 'read', 'read');
    await shot('whole');
    const template = await pane(page)
      .getByRole('link', { name: /template at 1/ })
      .getAttribute('href');
    const pdf = await fetch(`${url}${template}`);
    assert.equal(pdf.headers.get('content-type'), 'application/pdf');
    // One step back brings all of it back.
    await pane(page).getByRole('button', { name: 'Undo', exact: true }).click();
    await pane(page).getByText('As it stands').waitFor();
    const back = await benchOf(url, broken);
    assert.deepEqual([back.places, back.parts, back.counts], [before.places, before.parts, before.counts]);

    // A plate whose outline crosses itself: nothing is called sound, and the plate is named.
    const crossed = '58,-12; -50,16; 48,16; 58,12; -56,13; -56,-13; -50,-16; 48,-16';
    const frame = before.parts.find((part) => part.kind === 'frame');
    const top = frame.tables.plate.findIndex((row) => JSON.stringify(row).includes('top plate'));
    const edit = { do: 'set_row', part: frame.id, table: 'plate', row: top, key: 'outline', text: crossed };
    const told = await fetch(`${url}/api/craft/${broken}/edit`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ edit }),
    });
    assert.ok(told.ok, await told.clone().text());
    await openBench(page, url, broken, '?pane=placement');
    await pane(page).getByRole('button', { name: 'Find the best placement' }).click();
    await pane(page).getByText('Top plate of Brambling frame: it has no body').waitFor();
    await pane(page).scrollIntoViewIfNeeded();
    await shot('plate-without-body');
    await openBench(page, url, broken, '?pane=tilt');
    await page.getByText('top plate of Brambling frame may stop it').last().waitFor();
    await page.locator('#pane-tilt').scrollIntoViewIfNeeded();
    await shot('tilt-unsure');

    // Holes that no pattern takes: they are named, and the adapter is a click.
    const sheet = await (await fetch(`${url}/api/craft/whinchat/sheet`)).text();
    const racer = await fetch(`${url}/api/import`, { method: 'POST', body: withoutAdapter(sheet) });
    assert.ok(racer.ok, await racer.clone().text());
    const id = (await fleetOf(url)).craft.find((one) => one.name === 'Racer').id;
    await openBench(page, url, id, '?pane=placement');
    await pane(page).getByRole('button', { name: 'Find the best placement' }).click();
    await pane(page).getByText('and no hole pattern of this craft takes them').first().waitFor();
    await pane(page).scrollIntoViewIfNeeded();
    await shot('no-pattern');
    assert.deepEqual(await seriousFaultsInBoth(page, 'holes that do not meet'), []);
    const stl = await pane(page).getByRole('link', { name: 'Adapter (STL)' }).getAttribute('href');
    assert.equal((await fetch(`${url}${stl}`)).headers.get('content-type'), 'model/stl');
    await page.setViewportSize({ width: 390, height: 844 });
    await noSidewaysScroll(page, 'holes that do not meet');
    await shot('phone-no-pattern');
    await page.setViewportSize({ width: 1440, height: 900 });
    await pane(page)
      .getByRole('button', { name: /Put a printed adapter under Tansy large air unit/ })
      .focus();
    await page.keyboard.press('Enter');
    await pane(page).getByText('takes them').first().waitFor({ state: 'detached' });
    await pane(page).getByText('No placement is better than the craft as it stands.').waitFor();
    assert.equal((await benchOf(url, id)).counts.broken, 0);
    await shot('adapter-in-place');
  },
};
