/** The chapters of the manual and what each says, as entries one can search and link to. */
import type { ManualView } from '$lib/api/types/ManualView';

export const CHAPTERS = [
  { word: 'rules', title: 'Rules', says: 'What every craft is held to, and how each rule judges.' },
  { word: 'clearances', title: 'Clearances', says: 'How much air each pair of things needs.' },
  {
    word: 'doubts',
    title: 'Default doubts',
    says: 'How far off a fact may be when nobody stated a tolerance.',
  },
  { word: 'figures', title: 'Figures', says: 'What is computed, by which formula, from which source.' },
  {
    word: 'dry-fit',
    title: 'Dry fit',
    says: 'What each pane of the dry fit answers, how exactly, and what to mind.',
  },
  {
    word: 'link-and-view',
    title: 'Link and view',
    says: 'How to read margin, band, range, cliff, pattern and picture, and why the picture breaks behind the barn.',
  },
  {
    word: 'fault-finding',
    title: 'Fault finding',
    says: 'How a fault is found with the fewest swaps, what is known of faults, and how to add to it.',
  },
  {
    word: 'drawings',
    title: 'Drawings',
    says: 'A craft on paper: what each drawing shows, and how to trust a template.',
  },
  {
    word: 'prints',
    title: 'Prints',
    says: 'Parts to print: what may be set of each, and what all of them keep.',
  },
  {
    word: 'keeping',
    title: 'Loading and care',
    says: 'How a recipe is written and a card, how long things last, how a phone is paired.',
  },
  { word: 'sheet', title: 'Sheet format', says: 'A craft with all its parts as one text file.' },
  { word: 'checks', title: 'Checks', says: 'This program held against the outside: asked, expected, ours.' },
  { word: 'sources', title: 'Sources', says: 'Where published numbers come from.' },
  { word: 'glossary', title: 'Glossary', says: 'The words of the trade, a line each.' },
  { word: 'commands', title: 'Commands', says: 'What the program does without these pages.' },
  { word: 'keys', title: 'Keys', says: 'Everything here can be done with the keyboard alone.' },
  { word: 'cautions', title: 'Cautions', says: 'Blades, lithium packs, hot boards, radiated power.' },
] as const;

export type Chapter = (typeof CHAPTERS)[number]['word'];

export const KEYS: readonly { keys: string; does: string }[] = [
  { keys: 'Tab, Shift+Tab', does: 'go on to the next thing, or back' },
  { keys: 'Enter', does: 'press what is in focus; take over what was typed' },
  { keys: 'Esc', does: 'close the dialogue; let go of the finding, then of the place' },
  { keys: 'Ctrl+Z', does: 'undo the last edit of this craft (outside a text field)' },
  { keys: 'Ctrl+Shift+Z', does: 'do again what was undone' },
  { keys: 'Arrows', does: 'turn the drawing while it is in focus' },
  { keys: '+ and −', does: 'draw larger or smaller while the drawing is in focus' },
  { keys: '1, 2, 3, 4', does: 'top, side, front and three-quarter view while the drawing is in focus' },
  { keys: 'Alt+Left, Alt+Right', does: 'move the picked place 0.5 mm back or forward along its x' },
  { keys: 'Alt+Up, Alt+Down', does: 'move the picked place 0.5 mm left or right along its y' },
  { keys: 'Alt+Page Up, Alt+Page Down', does: 'move the picked place 0.5 mm up or down along its z' },
];

export function chapterOf(word: string | null): Chapter | null {
  return CHAPTERS.find((chapter) => chapter.word === word)?.word ?? null;
}

/** Whether every typed word stands in one of the texts. */
export function says(words: string, ...texts: string[]): boolean {
  const hay = texts.join(' ').toLowerCase();
  return words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => hay.includes(word));
}

/** The manual cut down to what a search finds. */
export function found(manual: ManualView, words: string): ManualView {
  const hit = (...texts: string[]) => says(words, ...texts);
  return {
    rules: manual.rules.filter((rule) =>
      hit(rule.id, rule.asks, ...rule.sections.flatMap((section) => [section.heading, section.text])),
    ),
    figures: manual.figures.filter((one) => hit(one.id, one.label, one.formula, one.source.line)),
    sources: manual.sources.filter((one) => hit(one.line)),
    sheet: manual.sheet.filter((one) => hit(one.title, one.text, one.example)),
    checks: {
      ...manual.checks,
      rows: manual.checks.rows.filter((row) => hit(row.asks, row.file, row.source.line)),
    },
    glossary: manual.glossary.filter((one) => hit(one.word, one.meaning)),
    clearances: manual.clearances.filter((row) => hit(...row.a, ...row.b, row.why, row.source)),
    doubts: manual.doubts.filter((row) => hit(row.words)),
    answers: manual.answers.filter((one) => hit(one.title, one.answers, one.exact, ...one.mind)),
    link_and_view: manual.link_and_view.filter((one) => hit(one.title, one.text, one.example)),
    fault_finding: manual.fault_finding.filter((one) => hit(one.title, one.text, one.example)),
    drawings: manual.drawings.filter((one) => hit(one.word, one.says)),
    prints: {
      kinds: manual.prints.kinds.filter((one) => hit(one.word, one.says, ...one.choices.flat())),
      customs: manual.prints.customs.filter((row) => hit(row.of)),
      filaments: manual.prints.filaments.filter((row) => hit(row.material, row.advice)),
    },
    keeping: manual.keeping,
    commands: manual.commands.filter((one) => hit(one.name, one.about, one.help)),
    cautions: manual.cautions.filter((one) => hit(one)),
  };
}
