/** The few quiet hues of the drawing, on paper and on slate. */
import type { Material } from '$lib/api/types/Material';
import type { Theme } from '$lib/ui/theme.svelte';

export interface Ink {
  paper: string;
  line: string;
  faint: string;
  accent: string;
  second: string;
  fill: { [material in Material]: string };
}

export const INKS: { [theme in Theme]: Ink } = {
  light: {
    paper: '#fcfaf5',
    line: '#1f2a33',
    faint: '#a49c8a',
    accent: '#b4512d',
    second: '#2e5f73',
    fill: {
      carbon: '#a9aeb0',
      metal: '#d5d8d6',
      plastic: '#e2d8c2',
      board: '#c3d0bd',
      glass: '#bdd0d8',
      soft: '#d8cdbd',
      sweep: '#b4512d',
      space: '#50708a',
    },
  },
  dark: {
    paper: '#1a2127',
    line: '#e9e4d6',
    faint: '#66727b',
    accent: '#e28a62',
    second: '#86bcd0',
    fill: {
      carbon: '#3d474d',
      metal: '#65727a',
      plastic: '#605a4d',
      board: '#47594a',
      glass: '#48616d',
      soft: '#5b5248',
      sweep: '#e28a62',
      space: '#86a5bb',
    },
  },
};
