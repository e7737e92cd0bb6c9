import assert from 'node:assert/strict';
import { benchOf, fleetOf, noSidewaysScroll, openBench, seriousFaultsInBoth } from '../bench.mjs';

const pane = (page) => page.locator('#pane-placement');
const placement = (page, number) => pane(page).getByRole('article', { name: `Placement ${number}` });

async function craftNamed(url, name) {
  return (await fleetOf(url)).craft.find((one) => one.name === name).id;
}

async function search(page, url, id) {
  await openBench(page, url, id, '?pane=placement');
  await pane(page).getByRole('button', { name: 'Find the best placement' }).focus();
  await page.keyboard.press('Enter');
}

/** Lets the page see a search that is under way until it ends it. */
async function heldUp(page) {
  await page.route(/\/api\/craft\/[^/]+\/place$/, async (route) => {
    const answer = await route.fetch();
    const view = { ...(await answer.json()), share: 0.4, doing: 'searching', found: null, pictures: [] };
    await route.fulfill({ response: answer, json: view });
  });
  // What is asked meanwhile is not answered: the search is still under way.
  await page.route(/\/api\/craft\/[^/]+\/place\/\d+$/, (route) =>
    route.request().method() === 'DELETE' ? route.continue() : undefined,
  );
}

async function wiresMended(url, craft) {
  const rows = (await (await fetch(`${url}/api/craft/${craft}/wiring`)).json()).wires;
  const row = (from) => rows.find((one) => one.from === from).row;
  const to = (from, pad) => ({ edit: 'set_craft_row', table: 'wire', row: row(from), key: 'to', text: pad });
  const edits = [
    to('fc/VT', 'vtx/RX'),
    to('fc/VR', 'vtx/TX'),
    { edit: 'set_place', place: 'vtx', key: 'rises', text: 'yes' },
  ];
  await fetch(`${url}/api/craft/${craft}/edit`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ edit: { do: 'together', what: 'Swap the serial wires', edits } }),
  });
}

export default {
  name: 'nothing about where things stand stays broken after one placement taken; a search is watched, ended, and may find nothing better',
  async run({ page, url, shot, complaints }) {
    const broken = await craftNamed(url, 'Brambling');
    // Its crossed wires are mended first: this story is about where things stand.
    await wiresMended(url, broken);
    const before = await benchOf(url, broken);
    assert.equal(before.verdict, 'broken');
    await search(page, url, broken);
    await placement(page, 1).waitFor();
    await pane(page).scrollIntoViewIfNeeded();
    await shot('placement');
    assert.deepEqual(await seriousFaultsInBoth(page, 'placements'), []);
    await placement(page, 1).getByRole('button', { name: 'Take this' }).click();
    await pane(page).getByText('Taken: the craft is now').waitFor();
    const after = await benchOf(url, broken);
    // What is left over is no matter of where things stand: the pilot stands where the barn is in the way of turns.
    assert.equal(after.counts.broken, 0);
    const left = after.findings.filter((one) => one.verdict !== 'sound').map((one) => one.rule.split('.')[0]);
    assert.deepEqual([...new Set(left)], ['link']);
    assert.match(after.undo, /a quarter left; Put M2×6/);
    await pane(page)
      .getByRole('link', { name: /template at 1 : 1/ })
      .waitFor();
    await shot('placement-taken');
    await pane(page).getByRole('button', { name: 'Undo', exact: true }).click();
    await pane(page).getByText('As it stands').waitFor();
    assert.deepEqual((await benchOf(url, broken)).places, before.places);
    // Without more it can still be taken: the craft is the one that was searched.
    const alone = placement(page, 1);
    await alone.getByRole('checkbox', { name: 'Put right as well what one exact change mends' }).uncheck();
    await alone.getByRole('button', { name: 'Take this' }).click();
    await pane(page).getByText('Taken: the craft is now').waitFor();
    assert.equal((await benchOf(url, broken)).counts.broken, 1);
    await page.setViewportSize({ width: 390, height: 844 });
    await noSidewaysScroll(page, 'the placements');
    await placement(page, 1).scrollIntoViewIfNeeded();
    await shot('phone-placement');
    await page.setViewportSize({ width: 1440, height: 900 });

    await search(page, url, await craftNamed(url, 'Dunnock'));
    await pane(page).getByText('No placement is better than the craft as it stands.').waitFor();
    await pane(page).getByText('Search again, and say what may move').click();
    await pane(page).scrollIntoViewIfNeeded();
    await shot('placement-none');

    await heldUp(page);
    await search(page, url, await craftNamed(url, 'Fieldfare'));
    await pane(page).getByRole('progressbar').waitFor();
    await shot('placement-under-way');
    await pane(page).getByRole('button', { name: 'Stop, and show the best so far' }).click();
    await pane(page).getByText('Searched:').waitFor();
    await page.unrouteAll({ behavior: 'ignoreErrors' });

    // Nothing serves: which two cannot both be had is said.
    const edit = { do: 'set_part', part: 'vtx', key: 'height', text: '29 mm, measured' };
    await fetch(`${url}/api/craft/${broken}/edit`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ edit }),
    });
    await search(page, url, broken);
    await pane(page).getByText('These two cannot both be had:').waitFor({ timeout: 90_000 });
    await shot('placement-conflict');
    complaints.length = 0;
  },
};
