/**
 * What a pane asks while a slider moves: one question is under way at a time, and when its answer is there the newest
 * question is asked next; those between are never sent. The last answer stays until the next one is there.
 */
import { get, type Refusal } from '$lib/api/client';

export class Following<T> {
  got = $state.raw<T | null>(null);
  refusal = $state.raw<Refusal | null>(null);
  /** Whether a newer answer is under way. */
  waiting = $state(true);

  /**
   * Made while a component is set up. `question` gives the path to ask, and reads all that makes it anew; null as long as nothing
   * can be asked, as before the first layout, when there is no width to draw for.
   */
  constructor(question: () => { path: string; revision: number } | null) {
    let wanted = '';
    let busy = false;
    let gone = false;
    const run = async (asked: string, path: string): Promise<void> => {
      busy = true;
      const answer = await get<T>(path);
      busy = false;
      if (gone) return;
      this.got = 'got' in answer ? answer.got : null;
      this.refusal = 'refusal' in answer ? answer.refusal : null;
      if (wanted === asked) this.waiting = false;
      else void run(wanted, pathOf(wanted));
    };
    const pathOf = (asked: string) => asked.slice(asked.indexOf(' ') + 1);
    $effect(() => {
      const next = question();
      if (next === null) return;
      const { path, revision } = next;
      wanted = `${revision} ${path}`;
      this.waiting = true;
      if (!busy) void run(wanted, path);
    });
    $effect(() => () => (gone = true));
  }
}
