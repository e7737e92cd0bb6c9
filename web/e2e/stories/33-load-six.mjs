import assert from 'node:assert/strict';
import { mkdir, readFile, readdir, writeFile } from 'node:fs/promises';
import path from 'node:path';

const AIR = 'Lanner small air unit';
const GROUND = 'Lanner ground unit';

const recipe = (kind, end, name) => `creance_recipe = 1
kind = "${kind}"
system = "Lanner"
end = "${end}"
file_name = "${name}"
minutes = 8
watts = 9
done_when = "the light is steady"

[[keep]]
name = "install.txt"
`;

export default {
  name: 'six units are loaded from one card, and no wrong image can be chosen for any of them',
  workshop: 'empty',
  viewport: { width: 390, height: 844 },
  async run({ page, url, program, shot, say, complaints }) {
    const send = async (where, json) => {
      const answer = await fetch(`${url}/api/load/${where}`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(json),
      });
      assert.equal(answer.status, 200, await answer.text());
    };
    const card = path.join(program.folder, 'card');
    await mkdir(card);
    const master = async (name, letter) => {
      const file = path.join(program.folder, name);
      await writeFile(file, Buffer.alloc(300_000, letter));
      return file;
    };
    const air = await master('air-4.2.img', 'a');
    const ground = await master('ground-4.2.img', 'g');

    await page.goto(`${url}/load`);
    await page.getByRole('heading', { level: 2, name: 'Begin here' }).waitFor();
    await page.getByLabel('The recipe').fill(recipe(AIR, 'air', '../AIR.IMG'));
    await page.getByRole('button', { name: 'Keep the recipe' }).click();
    await page.getByText(/line 5: file_name: .* holds a slash/).waitFor();
    complaints.length = 0; // The browser notes the refused request.
    await page.getByLabel('The recipe').fill(recipe(AIR, 'air', 'LANNER_AIR.IMG'));
    await page.getByRole('button', { name: 'Keep the recipe' }).click();
    await send('recipe', { text: recipe(GROUND, 'ground', 'LANNER_GND.IMG') });
    for (const label of ['A1', 'A2', 'A3', 'A4', 'A5'])
      await send('unit', { label, kind: AIR, revision: 'B', version: '4.1' });
    await send('unit', { label: 'G1', kind: GROUND, revision: 'A', version: '4.1' });
    await send('image', { file: air, version: '4.2', fits: [{ kind: AIR, revisions: ['B'] }] });
    await send('image', { file: ground, version: '4.2', fits: [{ kind: GROUND, revisions: [] }] });

    await page.reload();
    for (const label of ['A1', 'A2', 'A3', 'A4', 'A5', 'G1'])
      await page.getByRole('checkbox', { name: label }).check();
    await page.getByLabel('Where the card appears on this machine').fill(card);
    await page.getByLabel('Image for A3').selectOption({ label: `ground-4.2.img, 4.2, for ${GROUND}` });
    await page.getByRole('button', { name: 'Look at the plan' }).click();
    const against = page.locator('.against');
    await against.getByText(`unit "A3" is ${AIR}. Refused: it could leave it dead`).waitFor();
    await shot('load-refused');
    await page.getByLabel('Image for A3').selectOption({ label: `air-4.2.img, 4.2, for ${AIR} revision B` });
    await page.getByRole('checkbox', { name: /^Yes,/ }).check();
    await page.getByRole('button', { name: 'Begin the batch' }).waitFor();
    await shot('load-plan');
    await page.getByRole('button', { name: 'Begin the batch' }).click();

    const order = [];
    for (let turn = 0; turn < 6; turn += 1) {
      const button = page.getByRole('button', { name: /^Write the card for / });
      await button.waitFor();
      const unit = (await button.innerText()).replace('Write the card for ', '');
      order.push(unit);
      await button.click();
      await page.getByRole('checkbox', { name: /^Blades off/ }).check();
      const [wanted, other] = unit === 'G1' ? ['LANNER_GND.IMG', ground] : ['LANNER_AIR.IMG', air];
      assert.deepEqual((await readdir(card)).sort(), [wanted, 'install.txt'].sort(), `the card for ${unit}`);
      assert.deepEqual(await readFile(path.join(card, wanted)), await readFile(other));
      if (turn === 0) await shot('load-turn');
      await page.getByLabel(`${unit} reports`).fill(turn === 3 ? '4.1' : '4.2');
      await page.getByRole('button', { name: 'Confirm it' }).click();
      if (turn === 3) {
        await page.getByText('Stop.').waitFor();
        await shot('load-odd');
        await page.getByRole('button', { name: `Try ${unit} again` }).click();
        await page.getByRole('button', { name: `Write the card for ${unit}` }).click();
        await page.getByRole('checkbox', { name: /^Blades off/ }).check();
        await page.getByLabel(`${unit} reports`).fill('4.2');
        await page.getByRole('button', { name: 'Confirm it' }).click();
      }
    }
    await page.getByRole('heading', { name: 'Done' }).waitFor();
    assert.deepEqual([...order].sort(), ['A1', 'A2', 'A3', 'A4', 'A5', 'G1']);
    await page.goto(`${url}/journal`);
    await page.getByText('7 of 7 entries shown').waitFor();
    say(`loaded in the order ${order.join(', ')}`);
  },
};
