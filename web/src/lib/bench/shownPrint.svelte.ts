/** A print that a pane proposes, for the sheet to draw where it would stand. It is not on the craft. */
import type { SolidView } from '$lib/api/types/SolidView';

export interface ProposedPrint {
  /** The word of its kind: only one print is shown at a time. */
  kind: string;
  name: string;
  /** The place it would get. */
  place: string;
  solids: SolidView[];
}

export const proposed: { print: ProposedPrint | null } = $state({ print: null });
