/**
 * What is asked of the supply: one wish for all its panes, so that what was set in one is seen in the others. What is not set is as the
 * craft's sheet plans it.
 */

export type SupplyWord = 'flight' | 'punch' | 'endurance' | 'rails' | 'heat';
export type WishKey = 'charge' | 'temperature' | 'level';
export type Wish = Partial<Record<WishKey, number>>;

let wishes = $state.raw<Record<string, Wish>>({});

/** What is set for a craft. */
export const wishOf = (craft: string): Wish => wishes[craft] ?? {};

export function setWish(craft: string, key: WishKey, value: number): void {
  wishes = { ...wishes, [craft]: { ...wishOf(craft), [key]: value } };
}

/** Back to what is planned. */
export function leaveWish(craft: string): void {
  wishes = { ...wishes, [craft]: {} };
}
