/**
 * One craft on the bench: what the program last answered, and the edits under way. Edits go one after the
 * other in the order they were made; every answer is the whole view, so there is nothing to merge.
 */
import { get, post, type Answer, type Refusal } from '$lib/api/client';
import type { Edit } from '$lib/api/types/Edit';
import type { BenchView } from '$lib/api/types/BenchView';
import type { SizeView } from '$lib/api/types/SizeView';
import { announce } from '$lib/ui/announcer.svelte';
import { changeWords } from './findings';
import { movedBy, type Axis } from './seated';

export type Loading = 'loading' | 'ready' | { failed: Refusal };
export type SaveState = 'saved' | 'saving' | { refused: Refusal };

export class Bench {
  view = $state.raw<BenchView | null>(null);
  /** About how many solids there are to prove: known before the proof. */
  solids = $state.raw<number | null>(null);
  loading = $state.raw<Loading>('loading');
  save = $state.raw<SaveState>('saved');
  readonly #path: string;
  #queue: Promise<unknown> = Promise.resolve();

  constructor(craft: string) {
    this.#path = `/craft/${encodeURIComponent(craft)}`;
  }

  async load(): Promise<void> {
    // Asked first: the program answers it at once, and the proof of a large craft after that.
    const size = get<SizeView>(`${this.#path}/size`);
    void size.then((answer) => {
      if ('got' in answer) this.solids = answer.got.places + answer.got.rows;
    });
    const answer = await get<BenchView>(this.#path);
    if ('got' in answer) {
      this.view = answer.got;
      this.loading = 'ready';
      this.save = 'saved';
    } else if (this.view === null) this.loading = { failed: answer.refusal };
    else this.save = { refused: answer.refusal };
  }

  /** What may have changed elsewhere, in another window or by the command line, is shown on coming back. */
  async refresh(): Promise<void> {
    if (this.view === null || this.save !== 'saved') return;
    const answer = await get<BenchView>(this.#path);
    if ('got' in answer && this.save === 'saved' && answer.got.revision !== this.view.revision) {
      this.view = answer.got;
      announce('The craft was changed elsewhere; this is how it stands now.');
    }
  }

  edit(edit: Edit): Promise<Refusal | null> {
    return this.#send(() => post<BenchView>(`${this.#path}/edit`, { edit }));
  }

  /** Moves a place along one axis of its seat, from where it stands when the edits before are through. */
  move(place: string, axis: Axis, mm: number): Promise<Refusal | null> {
    return this.#send(() => {
      const now = this.view?.places.find((one) => one.id === place);
      const to = now ? movedBy(now, axis, mm) : { x: null, y: null, z: null };
      return post<BenchView>(`${this.#path}/edit`, {
        edit: { do: 'move_place', place, ...to } satisfies Edit,
      });
    });
  }

  /** Any other change that the program carries out as one step and answers with the whole view. */
  change(path: string, json: unknown): Promise<Refusal | null> {
    return this.#send(() => post<BenchView>(`${this.#path}/${path}`, json));
  }

  undo(): Promise<Refusal | null> {
    return this.#send(() => post<BenchView>(`${this.#path}/undo`));
  }

  redo(): Promise<Refusal | null> {
    return this.#send(() => post<BenchView>(`${this.#path}/redo`));
  }

  #send(ask: () => Promise<Answer<BenchView>>): Promise<Refusal | null> {
    const mine = this.#queue.then(() => this.#ask(ask));
    this.#queue = mine;
    return mine;
  }

  async #ask(ask: () => Promise<Answer<BenchView>>): Promise<Refusal | null> {
    this.save = 'saving';
    const answer = await ask();
    if ('refusal' in answer) {
      this.save = { refused: answer.refusal };
      announce(`${answer.refusal.refused}. ${answer.refusal.hint ?? ''}`);
      return answer.refusal;
    }
    const before = this.view?.findings ?? [];
    this.view = answer.got;
    this.save = 'saved';
    announce(changeWords(before, answer.got.findings));
    return null;
  }
}
