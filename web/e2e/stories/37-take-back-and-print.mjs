import assert from 'node:assert/strict';
import { writeFile } from 'node:fs/promises';

/** What would stand on paper, once the button of the page was pressed. */
async function onPaper(page, press) {
  await page.evaluate(() => {
    window.print = () => {};
  });
  await press();
  await page.emulateMedia({ media: 'print' });
  const words = await page.evaluate(() => document.body.innerText);
  const pdf = await page.pdf({ format: 'A4' });
  await page.emulateMedia({ media: 'screen' });
  await page.evaluate(() => window.dispatchEvent(new Event('afterprint')));
  return { words, pdf };
}

const keep = async (name, pdf) => {
  if (process.env.SHOTS) await writeFile(`${process.env.SHOTS}/${name}.pdf`, pdf);
};

export default {
  name: 'any entry can be taken back and stays in sight; a list and a session print alone',
  async run({ page, url, shot }) {
    // The crash of the demo, weeks old, is taken back: it counts for nothing, and it is still there.
    await page.goto(`${url}/journal?craft=brambling`);
    const crash = page.locator('li.crashed');
    await crash.getByRole('button', { name: /^Take back/ }).click();
    await crash.getByText(/^taken back .*: it counts for nothing$/).waitFor();
    await shot('journal-taken-back');
    const care = await (await fetch(`${url}/api/craft/brambling/care`)).json();
    assert.ok(!care.due.some((due) => due.rule === 'care.after_crash'));
    const table = await (await fetch(`${url}/api/entries/journal.csv?craft=brambling`)).text();
    assert.match(table, /Clipped a branch[^\n]*,yes,,\d{4}-/, 'the table says when it was taken back');
    await crash.getByRole('button', { name: /^Let stand again/ }).click();
    await crash.getByText(/it counts for nothing/).waitFor({ state: 'detached' });

    // A pack is counted from the page of care.
    await page.goto(`${url}/care/brambling`);
    await page.getByRole('heading', { name: 'Packs, which go from craft to craft' }).waitFor();
    await page.getByText('Count something else').click();
    await page.getByLabel('What is counted').selectOption('pack_cycles');
    await page.getByLabel('What', { exact: true }).fill('B2');
    await page.getByLabel('So far').fill('12');
    await page.getByRole('button', { name: 'Count it' }).click();
    await page.getByText(/12 of 100 cycles of a pack/).waitFor();
    await shot('care-packs');

    const list = page.locator('details').filter({ hasText: 'List before flight' });
    await list.locator('summary').click();
    const { words, pdf } = await onPaper(page, () =>
      list.getByRole('button', { name: 'Print this list' }).click(),
    );
    await keep('print-list', pdf);
    assert.match(words, /Brambling:\s*List before flight/);
    for (const other of ['Counters', 'What it asks for', 'List after a crash', 'Fleet', 'Print this list'])
      assert.ok(!words.includes(other), `${other} stands beside the printed list`);
    await page.getByRole('heading', { name: 'Counters' }).waitFor();

    await page.goto(`${url}/mend/brambling`);
    await page.getByRole('button', { name: /No picture, no camera light/ }).click();
    await page.getByRole('heading', { name: 'Do next' }).waitFor();
    const session = await onPaper(page, () =>
      page.getByRole('button', { name: 'Print this session' }).click(),
    );
    await keep('print-session', session.pdf);
    assert.match(session.words, /Mend Brambling/);
    assert.match(session.words, /What it may be/);
    for (const other of ['Manual', 'Take back', 'On slate', 'Words for the journal', 'To the bench'])
      assert.ok(!session.words.includes(other), other);
  },
};
