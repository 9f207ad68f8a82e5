/** Words that a person reads stand in the words file of their area and not in a component, so that they can be translated. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parse } from 'svelte/compiler';
import { describe, expect, it } from 'vitest';

const SRC = fileURLToPath(new URL('../../src/', import.meta.url));
const components = readdirSync(SRC, { recursive: true, encoding: 'utf8' }).filter((name) =>
  name.endsWith('.svelte'),
);

/** Attributes that are read out or shown. */
const SPOKEN =
  /^(aria-(label|description|roledescription|valuetext|placeholder)|title|alt|placeholder|label)$/;
const WORD = /\p{L}{2}/u;

interface Node {
  type: string;
  data?: string;
  name?: string;
  value?: unknown;
  [key: string]: unknown;
}

/** Words in text between tags, in attributes that are spoken, and in text made in the markup's expressions. */
function wordsIn(source: string): string[] {
  const found: string[] = [];
  const visit = (node: unknown, spoken: boolean): void => {
    if (Array.isArray(node)) return node.forEach((each) => visit(each, spoken));
    if (!node || typeof node !== 'object') return;
    const { type, data, name, value, quasis } = node as Node & { quasis?: { value: { raw: string } }[] };
    if (type === 'Text' && spoken && WORD.test(data ?? '')) found.push(data!.trim());
    if (type === 'Literal' && spoken && typeof value === 'string' && WORD.test(value)) found.push(value);
    if (type === 'TemplateLiteral' && spoken) {
      for (const { value: part } of quasis ?? []) if (WORD.test(part.raw)) found.push(part.raw.trim());
    }
    // Keys, comparisons and handlers are no text; what is called may take ids.
    if (
      [
        'CallExpression',
        'BinaryExpression',
        'MemberExpression',
        'ArrowFunctionExpression',
        'RenderTag',
      ].includes(type)
    )
      return;
    if (type === 'Attribute') return visit(value, SPOKEN.test(name!));
    if (/^TS|Directive$|^SpreadAttribute$|^AttachTag$|^ConstTag$|^Comment$/.test(type)) return;
    for (const [key, child] of Object.entries(node as Node)) {
      if (
        ['expression', 'test', 'context', 'key', 'metadata', 'loc'].includes(key) &&
        type !== 'ExpressionTag' &&
        type !== 'ConditionalExpression'
      )
        continue;
      if (type === 'ConditionalExpression' && key === 'test') continue;
      visit(child, spoken);
    }
  };
  visit(parse(source, { modern: true }).fragment, true);
  return found;
}

describe('words in components', () => {
  it('are found by this test', () => {
    expect(wordsIn('<p>Some words</p>')).toEqual(['Some words']);
    expect(wordsIn('<b title="Some words" class="a-b">{x} — {y}</b>')).toEqual(['Some words']);
    expect(wordsIn('<b aria-label={n > 1 ? "many" : words.one}>{`${n} times`}</b>')).toEqual([
      'many',
      'times',
    ]);
    expect(wordsIn('{#if kind === "cue"}{#each ["a-list"] as x (x)}{f("id")}{/each}{/if}')).toEqual([]);
  });

  it.each(components)('%s has none of its own', (name) => {
    expect(wordsIn(readFileSync(join(SRC, name), 'utf8'))).toEqual([]);
  });
});
