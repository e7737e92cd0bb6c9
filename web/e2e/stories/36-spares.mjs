import assert from 'node:assert/strict';
import { noSidewaysScroll, seriousFaultsInBoth } from '../bench.mjs';

const spares = async (url, asked) => (await fetch(`${url}/api/spares?${new URLSearchParams(asked)}`)).json();
const numberOf = (view, id) => view.lines.find((line) => line.id === id).number;

export default {
  name: 'what to carry follows flights, confidence and the repairs of the journal, and prints alone',
  viewport: { width: 390, height: 844 },
  async run({ page, url, shot, say, complaints }) {
    await page.goto(`${url}/spares?craft=brambling`);
    await page.getByRole('heading', { level: 1, name: 'Spares' }).waitFor();
    await page.getByText(/Carry for 30 flights of Brambling/).waitFor();
    await noSidewaysScroll(page, 'spares');
    await shot('spares-phone');
    assert.deepEqual(await seriousFaultsInBoth(page, 'spares'), []);
    const few = await spares(url, { craft: 'brambling', flights: 30, sure: 90 });
    assert.ok(few.record.flights === 10 && few.record.replaced === 2, JSON.stringify(few.record));
    await page.getByLabel('Flights planned').fill('120');
    await page.getByText(/Carry for 120 flights/).waitFor();
    await page.getByLabel('How sure').selectOption('99');
    await page.getByText(/each part with 99 %/).waitFor();
    const many = await spares(url, { craft: 'brambling', flights: 120, sure: 99 });
    assert.ok(numberOf(many, 'set_of_blades') > numberOf(few, 'set_of_blades'));
    await page.getByLabel('Flights planned').fill('0');
    await page.getByText('flights are 0 and must be from 1 to 100000').waitFor();
    complaints.length = 0; // The browser notes the refused request.
    await page.getByLabel('Flights planned').fill('30');

    // A repair that names its parts moves the count.
    for (let n = 0; n < 3; n += 1) {
      const sent = { kind: 'repaired', craft: 'brambling', words: 'again', parts: ['right-hand omni'] };
      const headers = { 'content-type': 'application/json' };
      await fetch(`${url}/api/entries`, { method: 'POST', headers, body: JSON.stringify(sent) });
    }
    const worn = await spares(url, { craft: 'brambling', flights: 30, sure: 90 });
    assert.ok(numberOf(worn, 'air_antenna') > numberOf(few, 'air_antenna'));
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.goto(`${url}/spares?craft=brambling`);
    await page
      .getByText(/of your own counted/)
      .first()
      .waitFor();
    await shot('spares-wide');
    say(
      `antennas to carry: ${numberOf(few, 'air_antenna')}, after three more repairs ${numberOf(worn, 'air_antenna')}`,
    );
  },
};
