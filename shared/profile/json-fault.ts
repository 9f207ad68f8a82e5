/**
 * Where a text stops being JSON (RFC 8259). `JSON.parse` says so in other words in every engine, and often
 * without the place; a person who edits a profile by hand needs the line and the column.
 */

export interface JsonFault {
  /** Counted from 1. */
  line: number;
  /** Counted from 1, in UTF-16 code units. */
  column: number;
  /** What stands there, for a sentence: `"]"`, `the end of the file`. */
  found: string;
  /** What would be right there, for a sentence. */
  expected: string;
}

/** Deeper nesting than any profile has is refused before it can exhaust the stack. */
export const MAX_JSON_DEPTH = 40;

class Fault extends Error {
  constructor(
    readonly at: number,
    readonly expected: string,
  ) {
    super(expected);
  }
}

const SPACE = /[ \t\n\r]*/y;
const NUMBER = /-?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?/y;
// A string's inside up to the first character that may not stand there.
// eslint-disable-next-line no-control-regex
const CHARACTERS = /([^"\\\u0000-\u001f]|\\["\\/bfnrt]|\\u[0-9a-fA-F]{4})*/y;
const WORD = /true|false|null/y;

/** The first place where `text` is not JSON, or null when all of it is. A name given twice is a fault too. */
export function jsonFault(text: string): JsonFault | null {
  let at = 0;

  const skip = (pattern: RegExp): boolean => {
    pattern.lastIndex = at;
    const found = pattern.exec(text);
    if (!found) return false;
    at += found[0].length;
    return true;
  };
  const take = (character: string): boolean => {
    skip(SPACE);
    if (text[at] !== character) return false;
    at++;
    return true;
  };

  const string = (): string => {
    const start = at++;
    skip(CHARACTERS);
    if (text[at] !== '"') {
      throw new Fault(
        at,
        text[at] === '\\' ? 'a valid escape such as \\n or \\u00e9' : 'the closing quote of a text',
      );
    }
    at++;
    return JSON.parse(text.slice(start, at)) as string;
  };

  const object = (depth: number): void => {
    if (take('}')) return;
    const names = new Set<string>();
    do {
      skip(SPACE);
      const start = at;
      if (text[at] !== '"') throw new Fault(at, 'a name in double quotes');
      const name = string();
      if (names.has(name))
        throw new Fault(start, `a name other than "${name}", which is already given above`);
      names.add(name);
      if (!take(':')) throw new Fault(at, 'a colon');
      value(depth + 1);
    } while (take(','));
    if (!take('}')) throw new Fault(at, 'a comma or "}"');
  };

  const array = (depth: number): void => {
    if (take(']')) return;
    do value(depth + 1);
    while (take(','));
    if (!take(']')) throw new Fault(at, 'a comma or "]"');
  };

  const value = (depth: number): void => {
    if (depth > MAX_JSON_DEPTH) throw new Fault(at, `nesting of at most ${MAX_JSON_DEPTH} levels`);
    if (take('{')) object(depth);
    else if (take('[')) array(depth);
    else if (text[at] === '"') string();
    else if (!skip(NUMBER) && !skip(WORD)) throw new Fault(at, 'a value');
  };

  try {
    value(0);
    skip(SPACE);
    if (at < text.length) throw new Fault(at, 'the end of the file');
    return null;
  } catch (fault) {
    if (!(fault instanceof Fault)) throw fault;
    const before = text.slice(0, fault.at).split('\n');
    return {
      line: before.length,
      column: before[before.length - 1].length + 1,
      found: foundAt(text, fault.at),
      expected: fault.expected,
    };
  }
}

function foundAt(text: string, at: number): string {
  if (at >= text.length) return 'the end of the file';
  if (text[at] === '\n' || text[at] === '\r') return 'the end of the line';
  if (text[at] === '"') return 'a double quote';
  const word = /^[\w.+-]{1,24}/.exec(text.slice(at, at + 24));
  return `"${word ? word[0] : String.fromCodePoint(text.codePointAt(at) as number)}"`;
}
