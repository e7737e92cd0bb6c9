import assert from 'node:assert/strict';
import { fleetOf, noSidewaysScroll, seriousFaults } from '../bench.mjs';

/** What this pilot sees when asked. */
const SEES = {
  text_without_picture: 'Seen',
  link_no_lock: 'Not seen',
  air_dark: 'Not seen',
  display_black: 'Not seen',
};

async function answerLooks(page) {
  for (let asked = 0; asked < 8; asked += 1) {
    let answered = false;
    for (const [id, word] of Object.entries(SEES)) {
      const group = page.locator(`[aria-labelledby="look-${id}"]`);
      if ((await group.count()) === 0) continue;
      await group.getByRole('button', { name: word, exact: true }).click();
      await group.waitFor({ state: 'detached' });
      answered = true;
    }
    if (!answered) return;
  }
}

const firstStep = (page) => page.locator('article.step.first');

async function begin(page) {
  await page.getByRole('button', { name: /No picture, no camera light/ }).click();
  await page.getByRole('heading', { name: 'Do next' }).waitFor();
  await page.getByText('At hand, and what happened').click();
  await page.getByLabel('a spare camera harness that is known good').check();
  await page.getByText('(said here)').first().waitFor();
  await answerLooks(page);
}

/** At which place a spare harness is advised, and how likely a damaged harness is. */
async function placeOfHarness(url, id) {
  const { session } = await (await fetch(`${url}/api/craft/${id}/mend`)).json();
  const place = session.steps.findIndex((step) => step.id === 'swap_harness');
  const damaged = session.causes.find((cause) => cause.id === 'harness_damaged');
  return { place: place < 0 ? session.steps.length : place, chance: damaged.chance };
}

async function outcome(page, does, word) {
  const step = firstStep(page).filter({ has: page.getByRole('heading', { name: does }) });
  await step.waitFor();
  await step.getByRole('button', { name: new RegExp(`^${word}`) }).click();
}

export default {
  name: 'no picture and no camera light lead to the harness in two steps; next time it is tried sooner',
  viewport: { width: 390, height: 844 },
  async run({ page, url, shot, say }) {
    const { craft } = await fleetOf(url);
    const id = craft[0].id;
    await page.goto(`${url}/mend`);
    await page.getByRole('link', { name: new RegExp(craft[0].name) }).click();
    await page.getByRole('heading', { name: 'What is wrong with the picture?' }).waitFor();
    await shot('mend-begin');
    assert.deepEqual(await seriousFaults(page, 'mend, before'), []);
    await begin(page);
    const before = await placeOfHarness(url, id);
    await noSidewaysScroll(page, 'an open session');
    await shot('mend-first-step');
    assert.deepEqual(await seriousFaults(page, 'mend, in session'), []);
    await outcome(page, 'Unplug and reseat camera harness, both ends, power off', 'same');

    // The page is closed and opened again: the session is where it was.
    await page.goto(`${url}/`);
    await page.goto(`${url}/mend/${id}`);
    await firstStep(page).getByRole('heading', { name: 'Fit a spare harness' }).waitFor();
    await shot('mend-second-step');
    const why = await firstStep(page).innerText();
    assert.match(why, /tells the two likeliest causes/);
    await outcome(page, 'Fit a spare harness', 'returns');
    await page.getByRole('heading', { name: 'The picture is back' }).waitFor();
    await shot('mend-settled');

    // An answer can be taken back, and given again.
    const last = page.locator('.done li').last();
    await last.getByRole('button', { name: 'Take back' }).click();
    await last.getByText(/taken back/).waitFor();
    await outcome(page, 'Fit a spare harness', 'returns');
    await page.getByRole('button', { name: /^Yes, that was it/ }).click();
    await page.getByRole('heading', { name: 'Mended before' }).waitFor();
    await page.getByText('strands broken, pinched, plug pins bent').first().waitFor();
    await shot('mend-ended');

    const journal = await (await fetch(`${url}/api/craft/${id}/journal`)).json();
    const line = journal.find((one) => one.words.startsWith('Mended: '));
    assert.match(
      line.words,
      /strands broken, pinched, plug pins bent; fit a new camera harness of the right hand and length/,
    );

    // The journal of the craft remembers the repair and the part it used up.
    await page.goto(`${url}/journal?craft=${id}`);
    const entry = page.locator('li.repaired').first();
    await entry.getByText(/strands broken, pinched, plug pins bent/).waitFor();
    await entry.getByText('part camera harness').waitFor();

    // The next time the very same is seen, the harness stands first, and the page says why.
    await page.goto(`${url}/mend/${id}`);
    await begin(page);
    await firstStep(page).getByRole('heading', { name: 'Fit a spare harness' }).waitFor();
    await firstStep(page)
      .getByText(/^Tried sooner than the lore alone would, .*pinched, plug pins bent" was found once/)
      .waitFor();
    await page
      .getByText(/found here once/)
      .first()
      .waitFor();
    await firstStep(page).scrollIntoViewIfNeeded();
    await shot('mend-sooner');
    await noSidewaysScroll(page, 'the next session');
    const later = await placeOfHarness(url, id);
    assert.ok(before.place > 0, 'at first something else came before it');
    assert.equal(later.place, 0);
    assert.ok(later.chance > before.chance, 'what was found once is likelier now');
    say(`a spare harness moved from place ${before.place + 1} to ${later.place + 1}`);
  },
};
