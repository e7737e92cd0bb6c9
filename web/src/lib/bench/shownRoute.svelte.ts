/** The way of a lead that a pane has picked out, for the sheet to draw: its middle line, in the craft's frame. */
import type { Point } from './sight';

export interface ShownRoute {
  /** The lead's name. */
  name: string;
  points: Point[];
  /** Where it bends most. */
  bend: Point | null;
}

export const shown: { route: ShownRoute | null } = $state({ route: null });
