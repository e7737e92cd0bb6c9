import type { BenchView } from '$lib/api/types/BenchView';
import type { Bench } from '../bench.svelte';
import type { Selection } from '../selection';

/** What every pane of the dry fit is given. It is made when its fold is opened, and goes when that is closed. */
export interface PaneProps {
  /** To change the craft. */
  bench: Bench;
  /** The craft as it stands; its revision grows with every edit. */
  view: BenchView;
  /** Picks a finding or a place, as the ledger does. */
  onpick: (change: Partial<Selection>) => void;
}

/** Where the program answers about a craft, as the client takes it. */
export const craftPath = (view: BenchView): string => `/craft/${encodeURIComponent(view.craft.id)}`;
