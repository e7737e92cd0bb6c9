/** Steps that several stories take, in the words of the page. */
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';

const AXE = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

export async function fleetOf(url) {
  const answer = await fetch(`${url}/api/fleet`);
  return answer.json();
}

export async function benchOf(url, id) {
  const answer = await fetch(`${url}/api/craft/${id}`);
  return answer.json();
}

/** The demo craft whose worst finding is broken and shown in 3D, with that finding. */
export async function brokenCraft(url) {
  const fleet = await fleetOf(url);
  for (const craft of fleet.craft) {
    const view = await benchOf(url, craft.id);
    const finding = view.findings.find((one) => one.verdict === 'broken' && one.witness && one.figure);
    if (finding) return { id: craft.id, view, finding };
  }
  throw new Error('no demo craft is broken with a witness and a figure');
}

export async function openBench(page, url, id, search = '') {
  await page.goto(`${url}/craft/${id}${search}`);
  await page.getByRole('heading', { name: 'Findings', exact: true }).waitFor();
}

/** The row of a fact: its label, and the boxes beside it. */
export const valueBox = (page, label) =>
  page.getByRole('group', { name: label, exact: true }).locator('input.value');

export async function saved(page) {
  await page.getByText(/saved, proved in/).waitFor();
}

/** Fails with what overflows when the page would scroll sideways. */
export async function noSidewaysScroll(page, where) {
  const over = await page.evaluate(() => {
    const wide = document.documentElement.scrollWidth - window.innerWidth;
    if (wide <= 0) return null;
    const far = [...document.querySelectorAll('body *')].find(
      (one) => one.getBoundingClientRect().right > innerWidth + 1,
    );
    return `${wide} px, by ${far?.outerHTML.slice(0, 120)}`;
  });
  assert.equal(over, null, `${where} scrolls sideways`);
}

/** What an accessibility scan of the page as it stands finds serious, each in a line. */
export async function seriousFaults(page, where) {
  await page.evaluate(AXE);
  const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
  const serious = found.violations.filter((one) => one.impact === 'serious' || one.impact === 'critical');
  return serious.map((one) => {
    const places = one.nodes.slice(0, 2).map((node) => node.html.slice(0, 140));
    return `${where}: ${one.id}: ${places.join(' ; ')}`;
  });
}

/** The same, light and dark. */
export async function seriousFaultsInBoth(page, where) {
  const faults = [];
  for (const colorScheme of ['dark', 'light']) {
    await page.emulateMedia({ colorScheme });
    faults.push(...(await seriousFaults(page, `${where} ${colorScheme}`)));
  }
  return faults;
}

/** The words of the page as the program sent them: it keeps numbers and their units on one line. */
export const plainSpaces = (words) => words.replaceAll('\u00a0', ' ');

/** Enters one fact of a row or a part by the id of its field, as a hand would: type, then Enter. */
export async function enter(page, id, text) {
  const field = page.locator(`[id="${id}"]`);
  if ((await field.evaluate((one) => one.tagName)) === 'SELECT') {
    await field.selectOption(text);
  } else {
    await field.fill(text);
    await field.blur();
  }
  await saved(page);
}

/** Enters the facts of one row of a table. */
export async function enterRow(page, part, table, number, facts) {
  for (const [key, text] of Object.entries(facts))
    await enter(page, `row-${part}-${table}-${number}-${key}`, text);
}
