/**
 * Runs the stories in e2e/stories, each on a program and a workshop of its own, and prints their names.
 * `node e2e/run.mjs WORD…` runs only those whose file name has one of the words. Environment: CREANCE (the
 * program), CHROMIUM (the browser), SHOTS (a folder for pictures, else none are kept).
 */
import { readdir } from 'node:fs/promises';
import { chromium } from 'playwright-core';
import { BROWSER_ARGS, chromiumPath, startProgram } from './program.mjs';

const STORIES = new URL('./stories/', import.meta.url);
const PATIENCE_MS = 10_000;

async function stories(words) {
  const files = (await readdir(STORIES)).filter((file) => file.endsWith('.mjs')).sort();
  const wanted = files.filter((file) => words.length === 0 || words.some((word) => file.includes(word)));
  return Promise.all(wanted.map(async (file) => (await import(new URL(file, STORIES))).default));
}

/** What the page complained of; a story that expects complaints empties the list. */
function listen(page, complaints) {
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
}

async function tell(story, browser) {
  const program = await startProgram(story.workshop ?? 'demo');
  const context = await browser.newContext({
    viewport: story.viewport ?? { width: 1440, height: 900 },
    colorScheme: story.scheme ?? 'light',
    reducedMotion: 'reduce',
    acceptDownloads: true,
  });
  context.setDefaultTimeout(PATIENCE_MS);
  const complaints = [];
  try {
    const page = await context.newPage();
    listen(page, complaints);
    const said = [];
    const shot = async (name) => {
      if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/${name}.png` });
    };
    await story.run({
      page,
      context,
      program,
      url: program.url,
      say: (words) => said.push(words),
      complaints,
      shot,
    });
    if (complaints.length > 0) throw new Error(`the page complained: ${complaints.join(' | ')}`);
    return said;
  } finally {
    await context.close();
    await program.clear();
  }
}

let passed = 0;
let failed = 0;
try {
  const wanted = await stories(process.argv.slice(2));
  if (wanted.length === 0) throw new Error('no story has such a name');
  const browser = await chromium.launch({ executablePath: chromiumPath(), args: BROWSER_ARGS });
  for (const story of wanted) {
    const began = Date.now();
    try {
      const said = await tell(story, browser);
      passed += 1;
      console.log(`passed  ${story.name} (${Date.now() - began} ms)`);
      for (const words of said) console.log(`        ${words}`);
    } catch (error) {
      failed += 1;
      console.log(
        `FAILED  ${story.name}\n        ${String(error?.stack ?? error)
          .split('\n')
          .slice(0, 12)
          .join('\n        ')}`,
      );
    }
  }
  await browser.close();
} catch (error) {
  failed += 1;
  console.log(`FAILED  ${error.message}`);
}
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 && passed > 0 ? 0 : 1;
