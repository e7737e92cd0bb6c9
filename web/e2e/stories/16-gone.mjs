import assert from 'node:assert/strict';
import { benchOf, fleetOf, openBench, valueBox } from '../bench.mjs';

export default {
  name: 'when the program is gone the page says so, keeps what was typed, and offers to try again',
  async run({ page, url, program, complaints, shot }) {
    const { id } = (await fleetOf(url)).craft[0];
    const place = (await benchOf(url, id)).places.find((one) => one.kind === 'video_transmitter');
    await openBench(page, url, id, `?place=${place.id}`);
    await program.end();
    const box = valueBox(page, 'x');
    await box.fill('2');
    await box.press('Enter');
    await page.getByText('the program does not answer', { exact: false }).first().waitFor();
    assert.equal(await box.inputValue(), '2');
    await page.getByRole('button', { name: 'Try again' }).waitFor();
    await shot('gone');
    await page.getByRole('link', { name: 'Parts', exact: true }).click();
    await page.getByRole('heading', { name: 'The parts cannot be shown' }).waitFor();
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.getByText('The program does not answer. It may have been closed.').waitFor();
    complaints.length = 0;
  },
};
