/**
 * What a pane asks the program for: asked when the pane opens, and again whenever the question or the
 * craft's revision changes. The last answer stays until the next one is there, so nothing jumps.
 */
import type { Answer, Refusal } from '$lib/api/client';

export class Asked<T> {
  got = $state.raw<T | null>(null);
  refusal = $state.raw<Refusal | null>(null);
  /** Whether a newer answer is under way. */
  waiting = $state(true);

  /** Made while a component is set up. `ask` reads what it depends on before it waits for anything. */
  constructor(ask: () => Promise<Answer<T>>) {
    let latest = 0;
    $effect(() => {
      const mine = ++latest;
      this.waiting = true;
      void ask().then((answer) => {
        // A slow answer to an older question is dropped.
        if (mine !== latest) return;
        this.waiting = false;
        this.got = 'got' in answer ? answer.got : null;
        this.refusal = 'refusal' in answer ? answer.refusal : null;
      });
      return () => {
        latest += 1;
      };
    });
  }
}
