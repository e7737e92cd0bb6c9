import { benchOf, fleetOf, openBench, valueBox } from '../bench.mjs';

export default {
  name: 'the time from key press to new findings on the page is told',
  async run({ page, url, say }) {
    const fleet = await fleetOf(url);
    const views = await Promise.all(fleet.craft.map((craft) => benchOf(url, craft.id)));
    const largest = views.sort((a, b) => b.solids.length - a.solids.length)[0];
    const place = largest.places.find((one) => one.kind === 'video_transmitter') ?? largest.places[0];
    await openBench(page, url, largest.craft.id, `?place=${place.id}`);
    const box = valueBox(page, 'x');
    const times = [];
    for (let turn = 0; turn < 8; turn += 1) {
      const revision = await page.getByText(/^Revision \d+/).innerText();
      await box.fill(String(-1 - turn / 10));
      const took = page.evaluate(
        (before) =>
          new Promise((resolve) => {
            let pressed = 0;
            addEventListener('keydown', () => (pressed = performance.now()), { capture: true, once: true });
            const label = [...document.querySelectorAll('.label')].find((one) =>
              one.textContent.startsWith('Revision'),
            );
            const look = () => {
              if (pressed > 0 && label.textContent.trim() !== before)
                requestAnimationFrame(() => resolve(performance.now() - pressed));
              else requestAnimationFrame(look);
            };
            look();
          }),
        revision.trim(),
      );
      await box.press('Enter');
      times.push(await took);
    }
    times.sort((a, b) => a - b);
    say(
      `key press to new findings, ${largest.solids.length} solids, ${largest.findings.length} findings: ` +
        `median ${times[4].toFixed(0)} ms, worst ${times.at(-1).toFixed(0)} ms; proof alone ${(await benchOf(url, largest.craft.id)).prove_ms.toFixed(1)} ms`,
    );
  },
};
