import assert from 'node:assert/strict';
import { fleetOf, openBench } from '../bench.mjs';

export default {
  name: 'a craft without a transmitter or a station is told what to enter for its link first',
  async run({ page, url, shot }) {
    const made = await fetch(`${url}/api/craft`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ name: 'Bare twig', class: null }),
    });
    assert.ok(made.ok, await made.text());
    const id = (await fleetOf(url)).craft.find((craft) => craft.name === 'Bare twig').id;
    await openBench(page, url, id, '?pane=link-budget');
    const pane = page.locator('#pane-link-budget');
    await pane.getByText('a video transmitter on the craft').waitFor();
    await pane.getByText('Enter first:', { exact: false }).waitFor();
    await pane.getByText('A ground station is a part of its own kind', { exact: false }).waitFor();
    await pane.scrollIntoViewIfNeeded();
    await shot('link-lacks');
  },
};
