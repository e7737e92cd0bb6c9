import assert from 'node:assert/strict';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { noSidewaysScroll, seriousFaults } from '../bench.mjs';

const AIR = 'Lanner small air unit';

const recipe = `creance_recipe = 1
kind = "${AIR}"
system = "Lanner"
end = "air"
file_name = "LANNER_AIR.IMG"
minutes = 8
watts = 9
done_when = "the light is steady"
`;

async function send(url, where, json) {
  const answer = await fetch(`${url}/api/${where}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(json),
  });
  assert.equal(answer.status, 200, `${where}: ${answer.status}`);
  return answer.json();
}

const mendOf = async (url, id) => (await fetch(`${url}/api/craft/${id}/mend`)).json();

export default {
  name: 'a unit that did not come back, and one of an odd version, open a search with what is known entered',
  workshop: 'empty',
  viewport: { width: 390, height: 844 },
  async run({ page, url, program, shot, say, complaints }) {
    const craft = await send(url, 'craft', { name: 'Merlin', class: null });
    const card = path.join(program.folder, 'card');
    await mkdir(card);
    const file = path.join(program.folder, 'air-4.2.img');
    await writeFile(file, Buffer.alloc(100_000, 'a'));
    await send(url, 'load/recipe', { text: recipe });
    await send(url, 'load/unit', { label: 'A1', kind: AIR, revision: 'B', version: '4.1', craft: craft.id });
    await send(url, 'load/unit', { label: 'A2', kind: AIR, revision: 'B', version: '4.1' });
    await send(url, 'load/image', { file, version: '4.2', fits: [{ kind: AIR, revisions: ['B'] }] });
    const { images } = await (await fetch(`${url}/api/load`)).json();
    await send(url, 'load/batch', {
      name: 'spring',
      units: ['A1', 'A2'].map((unit) => ({ unit, digest: images[0].digest })),
      cards: [card],
      yes: [card],
    });

    // The spare goes first. It reports an odd version: it lives, and the load passed it by.
    await page.goto(`${url}/load`);
    await page.getByRole('button', { name: 'Write the card for A2' }).click();
    await page.getByRole('checkbox', { name: /^Blades off/ }).check();
    await page.getByLabel('A2 reports').fill('4.1');
    await page.getByRole('button', { name: 'Confirm it' }).click();
    await page.getByText('It is in no craft. Tried with').waitFor();
    await shot('load-odd-spare');
    await noSidewaysScroll(page, 'an odd unit');
    assert.deepEqual(await seriousFaults(page, 'an odd unit'), []);
    await page.getByRole('button', { name: 'Look for its fault' }).click();
    await page.getByRole('heading', { level: 1, name: 'Mend Merlin' }).waitFor();
    await page.getByText('unit A2 was given 4.2 and reports 4.1').waitFor();
    const odd = (await mendOf(url, craft.id)).session;
    assert.deepEqual(
      odd.done.map((one) => one.outcome),
      ['not seen', 'not seen'],
      'it is neither dead nor dark',
    );
    assert.equal(odd.causes[0].id, 'card_unsuitable');
    assert.ok(odd.facts.find((fact) => fact.id === 'recent_load').holds);
    await shot('mend-odd-version');

    // While it is open no second search begins; its page says where the open one is.
    await page.goto(`${url}/load`);
    await page.getByRole('button', { name: 'Look for its fault' }).click();
    await page.getByText('a mending session of merlin is open already').waitFor();
    complaints.length = 0; // The browser notes the refused request.
    await page.getByRole('link', { name: 'To the session that is open' }).click();
    await page.getByText('End with what you found').waitFor();
    await page.getByRole('button', { name: 'End the session' }).click();
    await page.getByRole('heading', { name: 'What is wrong with the picture?' }).waitFor();

    // The next one does not come back at all, and is in the craft.
    await page.goto(`${url}/load`);
    await page.getByRole('button', { name: 'Leave A2 out' }).click();
    await page.getByRole('button', { name: 'Write the card for A1' }).click();
    await page.getByRole('checkbox', { name: /^Blades off/ }).check();
    await page.getByRole('button', { name: 'It did not come back' }).click();
    await page.getByRole('button', { name: 'Look for its fault' }).click();
    await page.getByText('unit A1 was given 4.2 and did not come back').waitFor();
    const dead = (await mendOf(url, craft.id)).session;
    assert.match(dead.complaint, /no start or endless blink since an image was loaded/);
    const likely = dead.causes.slice(0, 2).map((cause) => cause.id);
    assert.deepEqual(likely.sort(), ['load_interrupted', 'wrong_image']);
    await shot('mend-not-come-back');
    say(`first of all: ${dead.steps[0].does}`);
  },
};
