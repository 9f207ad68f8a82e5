/** The keys of “Mark”. Like the ladder's they work everywhere but in fields, and leave buttons their own keys. */
import { isTyped } from '../shell/fields.ts';
import type { KeyRow } from '../shell/key-row.ts';
import type { MarkActions } from './actions.svelte.ts';

/** Key → what it does, in the order of the help page. */
export const MARK_KEYS: readonly KeyRow[] = [
  {
    keys: ', .',
    does: 'All beats 1 ms earlier or later; with Shift 10 ms',
    presses: [',', '.', 'Shift+,', 'Shift+.', 'Shift+<', 'Shift+>', '<', '>'],
  },
  {
    keys: '[ ]',
    does: 'Go to the beat before or after the playhead',
    presses: ['[', ']', 'Shift+[', 'Shift+]'],
  },
  { keys: 'B', does: 'This is beat one, at the playhead', presses: ['b'] },
  { keys: 'R', does: 'Bars begin one beat later', presses: ['r'] },
  { keys: 'P', does: 'A phrase starts at the bar here', presses: ['p'] },
  { keys: 'H D', does: 'Half or twice the tempo', presses: ['h', 'd'] },
  { keys: 'E', does: 'Three beats for two; with Shift two for three', presses: ['e', 'Shift+e'] },
  { keys: 'T', does: 'Tap along; Shift+T lays the grid on the taps', presses: ['t', 'Shift+t'] },
  { keys: 'A', does: 'Pin the nearest beat to the playhead', presses: ['a'] },
  { keys: 'L', does: 'Lock or unlock the grid', presses: ['l'] },
  { keys: 'M', does: 'Metronome on or off', presses: ['m'] },
  { keys: 'S', does: 'Split the section at the playhead', presses: ['s'] },
  { keys: 'J', does: 'Join the section with the next one', presses: ['j'] },
  { keys: 'Shift+Delete', does: 'Delete the section', presses: ['Shift+Delete', 'Shift+Backspace'] },
  { keys: 'N', does: 'Name the section; V types a tempo', presses: ['n', 'v'] },
  { keys: 'Z', does: 'Undo; with Shift do it again (also with Ctrl)', presses: ['z', 'Shift+z'] },
  { keys: 'Shift+X', does: 'Back to the analysis', presses: ['Shift+x'] },
  { keys: '← → on an anchor', does: 'Move it by 1 ms, with Shift by 10 ms; Delete removes it' },
  { keys: '← → on a boundary', does: 'Move it by a bar' },
  { keys: '← → on the close-up', does: 'Move the playhead by 1 ms, with Shift by 10 ms' },
];

/** Ids of the fields that N and V go to. */
export const NAME_FIELD = 'mark-section-name';
export const TEMPO_FIELD = 'mark-tempo';

/**
 * Acts on a key press.
 * @returns whether the key was ours (then it should do nothing else)
 */
export function markKey(event: KeyboardEvent, actions: MarkActions): boolean {
  // Undo and redo are the markers' keys (`markerKey`), which come first.
  if (event.ctrlKey || event.metaKey || event.altKey || isTyped(event)) return false;
  const key = event.key.toLowerCase();
  // Where Shift gives another character, the layout decides which: the key's place on a US keyboard tells then.
  const code = event.code;
  const big = event.shiftKey ? 10 : 1;
  if (code === 'Comma' || key === ',' || key === '<') actions.nudge(-big);
  else if (code === 'Period' || key === '.' || key === '>') actions.nudge(big);
  else if (key === '[' || code === 'BracketLeft') actions.step(-1);
  else if (key === ']' || code === 'BracketRight') actions.step(1);
  else if (event.shiftKey) return shifted(key, actions);
  else return plain(key, actions);
  return true;
}

function shifted(key: string, actions: MarkActions): boolean {
  if (key === 't') actions.useTaps();
  else if (key === 'e') actions.scale('twoThirds');
  else if (key === 'z') actions.edits.redo();
  else if (key === 'x') actions.edits.backToAnalysis();
  else if (key === 'delete' || key === 'backspace') actions.deleteSection();
  else return false;
  return true;
}

function plain(key: string, actions: MarkActions): boolean {
  const does: Record<string, () => void> = {
    b: () => actions.beatOne(),
    r: () => actions.barLater(),
    p: () => actions.phraseHere(),
    h: () => actions.scale('half'),
    d: () => actions.scale('double'),
    e: () => actions.scale('threeHalves'),
    t: () => actions.tap(),
    a: () => actions.addAnchor(),
    l: () => actions.toggleLock(),
    m: () => actions.toggleMetronome(),
    s: () => actions.split(),
    j: () => actions.join(),
    z: () => actions.edits.undo(),
    n: () => focusField(NAME_FIELD),
    v: () => focusField(TEMPO_FIELD),
  };
  does[key]?.();
  return key in does;
}

function focusField(id: string): void {
  const field = document.getElementById(id);
  if (!(field instanceof HTMLInputElement)) return;
  field.focus();
  field.select();
}
