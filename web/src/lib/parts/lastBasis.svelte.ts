/** The basis last chosen: whoever copies a data sheet should not have to say so at every line. */
import type { Basis } from '$lib/api/types/Basis';

let last = $state<Basis>('data_sheet');

export const lastBasis = (): Basis => last;
export function rememberBasis(basis: Basis): void {
  last = basis;
}
