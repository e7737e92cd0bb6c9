/**
 * The letters of pictures: an image sees none of the page's fonts, so those it is written in go into it. Widths were reckoned in these
 * letters; in others, titles would run over their room.
 */
import strong from '@fontsource/barlow/files/barlow-latin-600-normal.woff2?url';
import usual from '@fontsource/barlow/files/barlow-latin-400-normal.woff2?url';

const FACES = [
  { url: usual, weight: '100 500' },
  { url: strong, weight: '600 900' },
];

let faces = $state.raw('');
let begun = false;

/** The bytes of a file as text that may stand in a style. */
async function asText(url: string): Promise<string> {
  const bytes = new Uint8Array(await (await fetch(url)).arrayBuffer());
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text);
}

async function load(): Promise<void> {
  const each = FACES.map(
    async ({ url, weight }) =>
      `@font-face{font-family:Barlow;font-weight:${weight};src:url(data:font/woff2;base64,${await asText(url)})}`,
  );
  faces = (await Promise.all(each)).join('');
}

/** The style that brings them; none until they are loaded. A picture without them is a picture still. */
export function letters(): string {
  if (!begun) {
    begun = true;
    load().catch(() => undefined);
  }
  return faces;
}
