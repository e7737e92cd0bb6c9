/**
 * One thin client. Every answer is either what was asked for or a refusal in words; nothing throws.
 * `gone` means nobody answered: the program was closed, not that it said no.
 */

export interface Fault {
  line: number;
  column: number;
  message: string;
  hint: string | null;
}
export interface Refusal {
  kind: 'refused' | 'missing' | 'gone';
  refused: string;
  hint: string | null;
  faults: Fault[];
}
export type Answer<T> = { got: T } | { refusal: Refusal };

type Method = 'GET' | 'POST' | 'DELETE';
type Body = { json: unknown } | { sheet: string | Blob } | null;

const GONE: Refusal = {
  kind: 'gone',
  refused: 'The program does not answer',
  hint: 'Start it again; what was saved is safe.',
  faults: [],
};

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}

function text(value: unknown): string | null {
  return typeof value === 'string' && value !== '' ? value : null;
}

function fault(value: unknown): Fault {
  const fields = isObject(value) ? value : {};
  return {
    line: Number(fields.line ?? 0),
    column: Number(fields.column ?? 0),
    message: text(fields.message) ?? '',
    hint: text(fields.hint),
  };
}

/** A refusal from the body of an answer; a body of another shape is told by its status. */
export function refusalOf(status: number, body: unknown): Refusal {
  const fields = isObject(body) ? body : {};
  return {
    kind: status === 404 ? 'missing' : status === 502 || status === 504 ? 'gone' : 'refused',
    refused: text(fields.refused) ?? `The program answered with status ${status}`,
    hint: text(fields.hint),
    faults: Array.isArray(fields.faults) ? fields.faults.map(fault) : [],
  };
}

async function send(method: Method, path: string, body: Body): Promise<Response> {
  if (body === null) return fetch(`/api${path}`, { method });
  if ('sheet' in body) {
    return fetch(`/api${path}`, { method, headers: { 'content-type': 'text/plain' }, body: body.sheet });
  }
  return fetch(`/api${path}`, {
    method,
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body.json),
  });
}

async function ask<T>(method: Method, path: string, body: Body): Promise<Answer<T>> {
  try {
    const response = await send(method, path, body);
    const raw = await response.text();
    let said: unknown = null;
    try {
      said = raw === '' ? null : JSON.parse(raw);
    } catch {
      if (response.ok)
        return {
          refusal: refusalOf(500, {
            refused: 'The program answered in a form this page does not know',
            hint: 'Load the page again.',
          }),
        };
    }
    if (!response.ok) return { refusal: refusalOf(response.status, said) };
    // The types are generated from the program that answers.
    return { got: said as T };
  } catch {
    return { refusal: GONE };
  }
}

/** A picture as the program answers with it. */
export async function getPicture(path: string): Promise<Answer<Blob>> {
  try {
    const response = await send('GET', path, null);
    if (response.ok) return { got: await response.blob() };
    const said: unknown = await response.json().catch(() => null);
    return { refusal: refusalOf(response.status, said) };
  } catch {
    return { refusal: GONE };
  }
}

export const get = <T>(path: string): Promise<Answer<T>> => ask<T>('GET', path, null);
export const post = <T>(path: string, json: unknown = {}): Promise<Answer<T>> =>
  ask<T>('POST', path, { json });
export const postSheet = <T>(path: string, sheet: string | Blob): Promise<Answer<T>> =>
  ask<T>('POST', path, { sheet });
export const remove = <T>(path: string): Promise<Answer<T>> => ask<T>('DELETE', path, null);
