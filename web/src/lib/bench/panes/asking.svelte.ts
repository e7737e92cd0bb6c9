/**
 * The pose that is asked of the link: one for all its panes, so that what was set in one is seen in the others. What is not
 * set is as the craft's sheet plans it.
 */

export type LinkWord = 'budget' | 'range' | 'held' | 'lobes' | 'pattern' | 'costs' | 'station';

export type PoseKey = 'distance' | 'height' | 'heading' | 'nose_down' | 'bank' | 'level';
export type Pose = Partial<Record<PoseKey, number>>;

let poses = $state.raw<Record<string, Pose>>({});

/** What is set for a craft. */
export const poseOf = (craft: string): Pose => poses[craft] ?? {};

export function setPose(craft: string, key: PoseKey, value: number): void {
  poses = { ...poses, [craft]: { ...poseOf(craft), [key]: value } };
}

/** Back to what is planned. */
export function leavePose(craft: string): void {
  poses = { ...poses, [craft]: {} };
}

/** As the program reads it. */
export function poseQuery(pose: Pose, more: Record<string, string | number | boolean>): string {
  const entries = [...Object.entries(pose), ...Object.entries(more)];
  return entries.map(([key, value]) => `${key}=${encodeURIComponent(String(value))}`).join('&');
}

/** A slider runs by steps of equal ratio, so that near and far are set with the same care. */
export const SLIDER_STEPS = 100;

export function atStep(step: number, [least, most]: readonly [number, number]): number {
  const value = least * (most / least) ** (step / SLIDER_STEPS);
  const round = 10 ** Math.max(0, Math.floor(Math.log10(value)) - 1);
  return value < 10 ? Math.round(value * 10) / 10 : Math.round(value / round) * round;
}

export function stepOf(value: number, [least, most]: readonly [number, number]): number {
  const share = Math.log(value / least) / Math.log(most / least);
  return Math.round(Math.min(1, Math.max(0, share)) * SLIDER_STEPS);
}
