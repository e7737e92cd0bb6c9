import { expect, it } from 'vitest';
import { refusalOf } from './client';

it('a refusal keeps its words, its hint and its faults', () => {
  const body = {
    refused: 'no',
    hint: 'mend it',
    faults: [{ line: 3, column: 9, message: 'odd', hint: null }],
  };
  expect(refusalOf(422, body)).toEqual({
    kind: 'refused',
    refused: 'no',
    hint: 'mend it',
    faults: [{ line: 3, column: 9, message: 'odd', hint: null }],
  });
});
it('an answer of another shape is told by its status', () => {
  expect(refusalOf(500, 'oops')).toMatchObject({
    refused: 'The program answered with status 500',
    hint: null,
  });
  expect(refusalOf(404, null).kind).toBe('missing');
  expect(refusalOf(502, null).kind).toBe('gone');
});
