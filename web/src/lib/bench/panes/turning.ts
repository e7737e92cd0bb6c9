/** How far the nose is turned after a drag over the picture: what is under the hand goes with it. */
export function turnedBy(from: number, dragged: number, width: number, acrossDegrees: number): number {
  return wrapped(Math.round(from + (dragged / Math.max(1, width)) * acrossDegrees));
}

/** A turn between −180 and 180 degrees. */
export function wrapped(degrees: number): number {
  return ((((degrees + 180) % 360) + 360) % 360) - 180;
}
