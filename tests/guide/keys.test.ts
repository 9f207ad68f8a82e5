/** The help page tells of every key that a handler answers to, and of none that it does not. */
import { beforeAll, describe, expect, it, vi } from 'vitest';
import { MARK_KEYS, markKey } from '../../src/mark/keys.ts';
import { MARKER_KEYS, markerKey } from '../../src/markers/keys.ts';
import { KEY_GROUPS } from '../../src/shell/key-groups.ts';
import type { KeyRow } from '../../src/shell/key-row.ts';
import { KEYS, ladderKey } from '../../src/shell/keys.ts';

beforeAll(() => {
  // What the handlers ask of the page: is the target an element, and where is a field.
  vi.stubGlobal('Element', class {});
  vi.stubGlobal('HTMLInputElement', class {});
  vi.stubGlobal('document', { getElementById: () => null });
});

/** Takes any call and any property; every marker action finds something to act on. */
function anything(): never {
  const target = () => undefined;
  return new Proxy(target, {
    get: (_, name) => (name === Symbol.toPrimitive ? () => 1 : anything()),
    set: () => true,
  }) as never;
}

const CODES: Record<string, string> = {
  ',': 'Comma',
  '.': 'Period',
  '[': 'BracketLeft',
  ']': 'BracketRight',
};

function press(text: string): KeyboardEvent {
  const parts = text === '+' ? ['+'] : text.split('+');
  const key = parts.at(-1)!;
  const has = (name: string) => parts.slice(0, -1).includes(name);
  return {
    key,
    code: CODES[key] ?? '',
    target: null,
    altKey: has('Alt'),
    metaKey: has('Meta'),
    ctrlKey: has('Ctrl'),
    shiftKey: has('Shift'),
  } as unknown as KeyboardEvent;
}

const HANDLERS: { name: string; rows: readonly KeyRow[]; answers: (event: KeyboardEvent) => boolean }[] = [
  { name: 'ladder', rows: KEYS, answers: (event) => ladderKey(event, anything(), anything()) },
  { name: 'markers', rows: MARKER_KEYS, answers: (event) => markerKey(event, anything()) },
  { name: 'mark', rows: MARK_KEYS, answers: (event) => markKey(event, anything()) },
];

const SINGLE = [...'abcdefghijklmnopqrstuvwxyz0123456789,.-=+[]{}<>/;\'`#*?!"§$%&()_:~^\\| −'];
const NAMED = [
  ...['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown', 'Home', 'End', 'PageUp', 'PageDown', 'Insert'],
  ...['Escape', 'Delete', 'Backspace', 'Enter', 'Tab', ...Array.from({ length: 12 }, (_, i) => `F${i + 1}`)],
];
const every = ['', 'Shift+', 'Ctrl+', 'Ctrl+Shift+', 'Alt+'].flatMap((modifiers) =>
  [...SINGLE, ...NAMED].filter((key) => key !== '+' || !modifiers).map((key) => modifiers + key),
);

/** What a handler answers to with Shift as without, so that Shift needs no row of its own. */
const plain = (text: string) => text.replace('Shift+', '');

describe.each(HANDLERS)('the keys of $name', ({ name, rows, answers }) => {
  const told = rows.flatMap(({ presses = [] }) => presses);

  it('that are told of are answered', () => {
    expect(told.length).toBeGreaterThan(4);
    expect(told.filter((each) => !answers(press(each)))).toEqual([]);
  });

  it('that are answered are told of', () => {
    const answered = every.filter((each) => answers(press(each)));
    expect(answered.length).toBeGreaterThan(4);
    // The ladder does not look at Shift: + is Shift and = on many keyboards.
    const known = (each: string) => told.includes(each) || (name === 'ladder' && told.includes(plain(each)));
    expect(answered.filter((each) => !known(each))).toEqual([]);
  });

  it('are told of once', () => expect(new Set(told).size).toBe(told.length));
});

it('the help page has all of them, each row with words', () => {
  const rows = KEY_GROUPS.flatMap((group) => group.rows);
  for (const { rows: own } of HANDLERS) for (const row of own) expect(rows).toContain(row);
  for (const { keys, does } of rows) {
    expect(keys.trim()).not.toBe('');
    expect(does).toMatch(/^[A-Z]/);
  }
});
