/** The place of a fault in JSON, against the engine's own parser. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jsonFault } from '../../shared/profile/json-fault.ts';

const parses = (text: string): boolean => {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
};

describe('jsonFault', () => {
  it.each([
    ['', 1, 1, 'a value'],
    ['{', 1, 2, 'a name in double quotes'],
    ['{"a" 1}', 1, 6, 'a colon'],
    ['{"a": }', 1, 7, 'a value'],
    ['[1 2]', 1, 4, 'a comma or "]"'],
    ['[1,]', 1, 4, 'a value'],
    ['[01]', 1, 3, 'a comma or "]"'],
    ['[-]', 1, 2, 'a value'],
    ['nul', 1, 1, 'a value'],
    ['"a\nb"', 1, 3, 'the closing quote of a text'],
    ['"\\x"', 1, 2, 'a valid escape such as \\n or \\u00e9'],
    ['"\\u12"', 1, 2, 'a valid escape such as \\n or \\u00e9'],
    ['{}\n{}', 2, 1, 'the end of the file'],
    ["{\r\n  'a': 1\r\n}", 2, 3, 'a name in double quotes'],
    ['{"a": 1, "a": 2}', 1, 10, 'a name other than "a", which is already given above'],
  ])('%j is faulty at line %i, column %i', (text, line, column, expected) => {
    expect(jsonFault(text)).toMatchObject({ line, column, expected });
  });

  it('agrees with the parser on what is JSON', () => {
    const cut = fc.tuple(
      fc.json(),
      fc.nat(),
      fc.nat(3),
      fc.constantFrom('', ',', '"', '}', '0', '\\', ' ', 'e'),
    );
    fc.assert(
      fc.property(cut, ([json, at, length, put]) => {
        const start = at % (json.length + 1);
        const text = json.slice(0, start) + put + json.slice(start + length);
        const fault = jsonFault(text);
        if (fault?.expected.startsWith('a name other than')) return;
        expect(fault === null).toBe(parses(text));
      }),
      { numRuns: 3000 },
    );
  });
});
