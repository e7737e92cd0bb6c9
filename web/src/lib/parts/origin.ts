/** Where the origin of a part lies, in the words of somebody who holds it: places in its tables count from there. */

const ORIGINS: { [kind: string]: string } = {
  frame: 'from where you choose, best the middle of the bottom plate’s upper face',
  camera: 'from the axis of its side screws, midway between its sides',
  lens: 'from the middle of the face where it enters the camera',
  motor: 'from the middle of its base, z along the shaft',
  blades: 'from the middle of the hub, z along the shaft',
  antenna: 'from where it leaves its holder or socket, z along the element',
};

export const originWords = (kind: string): string =>
  `x forward, y left, z up, in mm, ${ORIGINS[kind] ?? 'from the middle of its underside'}.`;
