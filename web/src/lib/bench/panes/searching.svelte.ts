/**
 * A search for placements: asked for, watched until it is done, ended when told. The program answers each
 * question within a moment, so there is always the next one to wait for and nothing to time here.
 */
import { get, post, remove, type Answer, type Refusal } from '$lib/api/client';
import type { PlaceAsked } from '$lib/api/types/PlaceAsked';
import type { PlacedTold } from '$lib/api/types/PlacedTold';
import type { SearchView } from '$lib/api/types/SearchView';

export type Searching =
  | 'not asked'
  | { under: SearchView | null; stopping: boolean }
  | { done: SearchView; found: PlacedTold }
  | { refused: Refusal };

export class Search {
  state = $state.raw<Searching>('not asked');
  readonly #path: string;
  #latest = 0;

  /** `path` is where the program answers about the craft. */
  constructor(path: string) {
    this.#path = `${path}/place`;
  }

  async begin(asked: PlaceAsked): Promise<void> {
    const mine = ++this.#latest;
    this.state = { under: null, stopping: false };
    let answer = await post<SearchView>(this.#path, asked);
    while (mine === this.#latest && this.#keep(answer)) {
      answer = await get<SearchView>(`${this.#path}/${this.#number(answer)}`);
    }
  }

  /** Ends it; what was found so far is then shown. */
  async stop(): Promise<void> {
    if (typeof this.state !== 'object' || !('under' in this.state) || this.state.under === null) return;
    const mine = ++this.#latest;
    const under = this.state.under;
    this.state = { under, stopping: true };
    let answer = await remove<SearchView>(`${this.#path}/${under.search}`);
    while (mine === this.#latest && this.#keep(answer)) {
      answer = await get<SearchView>(`${this.#path}/${under.search}`);
    }
  }

  /** Nobody looks any more. */
  leave(): void {
    this.#latest += 1;
    if (typeof this.state === 'object' && 'under' in this.state && this.state.under !== null) {
      void remove<SearchView>(`${this.#path}/${this.state.under.search}`);
    }
  }

  /** Keeps an answer and says whether to ask again. */
  #keep(answer: Answer<SearchView>): boolean {
    if ('refusal' in answer) {
      this.state = { refused: answer.refusal };
      return false;
    }
    const { found } = answer.got;
    if (found !== null) {
      this.state = { done: answer.got, found };
      return false;
    }
    const stopping = typeof this.state === 'object' && 'under' in this.state && this.state.stopping;
    this.state = { under: answer.got, stopping };
    return true;
  }

  #number(answer: Answer<SearchView>): number {
    return 'got' in answer ? answer.got.search : 0;
  }
}
