/** Licences of the fonts and libraries that these pages carry, as files beside them. */
import letters from '../../../node_modules/@fontsource/barlow/LICENSE?url';
import headings from '../../../node_modules/@fontsource/spectral/LICENSE?url';
import pages from '../../../node_modules/svelte/LICENSE.md?url';
import drawing from '../../../node_modules/three/LICENSE?url';

export const LICENCES: readonly { of: string; href: string }[] = [
  { of: 'the letters of the text', href: letters },
  { of: 'the letters of the headings', href: headings },
  { of: 'the drawing in 3D', href: drawing },
  { of: 'the making of the pages', href: pages },
];
