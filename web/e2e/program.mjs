/** The real program on a free port with a workshop of its own, and the browser that looks at it. */
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const EXE = process.platform === 'win32' ? '.exe' : '';

function firstThere(named, variable, places, mend) {
  if (named) {
    if (existsSync(named)) return named;
    throw new Error(`${variable} names ${named}, which is no file; ${mend}`);
  }
  const found = places.find((place) => existsSync(place));
  if (!found) throw new Error(`${variable} is not set and nothing was found in the usual places; ${mend}`);
  return found;
}

export const programPath = () =>
  firstThere(
    process.env.CREANCE,
    'CREANCE',
    ['release', 'debug'].map((kind) => path.join(ROOT, 'target', kind, `creance${EXE}`)),
    'build it first: cargo build',
  );

export const chromiumPath = () =>
  firstThere(
    process.env.CHROMIUM,
    'CHROMIUM',
    [
      '/usr/bin/chromium',
      '/usr/bin/chromium-browser',
      '/snap/bin/chromium',
      '/Applications/Chromium.app/Contents/MacOS/Chromium',
    ],
    'set it to the executable of a Chromium browser',
  );

export const BROWSER_ARGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Resolves with the address the program prints, or tells what it said instead. */
function addressOf(child) {
  return new Promise((resolve, reject) => {
    let said = '';
    const listen = (chunk) => {
      said += chunk;
      const url = /http:\/\/127\.0\.0\.1:\d+/.exec(said)?.[0];
      if (url) resolve(url);
    };
    child.stdout.on('data', listen);
    child.stderr.on('data', listen);
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`the program ended with status ${code}: ${said}`)));
  });
}

/** Starts the program; with the demo unless an empty workshop is wanted. */
export async function startProgram(workshop) {
  const folder = await mkdtemp(path.join(tmpdir(), 'creance-e2e-'));
  const args = ['serve', '--no-open', '--workshop', path.join(folder, 'workshop.sqlite')];
  if (workshop === 'demo') args.push('--demo');
  const child = spawn(programPath(), args, { stdio: ['ignore', 'pipe', 'pipe'] });
  const url = await addressOf(child);
  const ended = new Promise((resolve) => child.once('exit', resolve));
  const end = async () => {
    child.kill();
    await ended;
  };
  const clear = async () => {
    await end();
    await rm(folder, { recursive: true, force: true });
  };
  return { url, folder, end, clear };
}
