import { describe, expect, it } from 'vitest';
import { atStep, leavePose, poseOf, poseQuery, setPose, SLIDER_STEPS, stepOf } from './asking.svelte';

describe('the pose that is asked of the link', () => {
  it('is kept for each craft, and goes back to what is planned', () => {
    setPose('a', 'bank', 30);
    setPose('a', 'distance', 200);
    expect(poseOf('a')).toEqual({ bank: 30, distance: 200 });
    expect(poseOf('b')).toEqual({});
    leavePose('a');
    expect(poseOf('a')).toEqual({});
  });
  it('is asked as the program reads it', () => {
    expect(poseQuery({ bank: -30 }, { width: 90, slate: true })).toBe('bank=-30&width=90&slate=true');
  });
  it('runs by steps from end to end, and finds its step again', () => {
    const span = [5, 5000] as const;
    expect(atStep(0, span)).toBe(5);
    expect(atStep(SLIDER_STEPS, span)).toBe(5000);
    for (let step = 0; step < SLIDER_STEPS; step += 1)
      expect(Math.abs(stepOf(atStep(step, span), span) - step)).toBeLessThanOrEqual(1);
  });
});
