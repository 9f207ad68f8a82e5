/** The keys of markers, in “Compare” and in “Mark”. They work everywhere but in fields. */
import { MAX_SLOT } from '../../shared/markers/marker.ts';
import { isTyped } from '../shell/fields.ts';
import type { KeyRow } from '../shell/key-row.ts';
import type { MarkerActions } from './actions.svelte.ts';

/** Key → what it does, in the order of the help page. */
export const MARKER_KEYS: readonly KeyRow[] = [
  {
    keys: `1 … ${MAX_SLOT}`,
    does: 'Go to the hot cue in that slot; where it is empty, place one at the playhead',
    presses: Array.from({ length: MAX_SLOT }, (_, i) => String(i + 1)),
  },
  { keys: 'C', does: 'Place a hot cue at the playhead, in the first free slot', presses: ['c'] },
  { keys: 'K', does: 'Place a structure mark at the playhead', presses: ['k'] },
  { keys: 'O', does: 'Place a loop at the playhead', presses: ['o'] },
  { keys: '← → on a marker', does: 'Move it by the snapping step, with Shift by a bar' },
  { keys: '↑ ↓ on a marker', does: 'Go to the marker before or after' },
  { keys: 'Enter on a marker', does: 'Put the playhead on it; Space picks it, Delete removes it' },
  {
    keys: 'Ctrl+Z',
    does: 'Undo; with Shift do it again, or Ctrl+Y',
    presses: ['Ctrl+z', 'Ctrl+Shift+z', 'Ctrl+y', 'Ctrl+Shift+y'],
  },
  { keys: 'Escape', does: 'Let go of the marker whose thread is followed', presses: ['Escape'] },
];

/**
 * Acts on a key press.
 * @returns whether the key was ours (then it should do nothing else)
 */
export function markerKey(event: KeyboardEvent, actions: MarkerActions): boolean {
  if (event.altKey || isTyped(event)) return false;
  const key = event.key.toLowerCase();
  if (event.ctrlKey || event.metaKey) {
    if (key === 'z' && !event.shiftKey) actions.edits.undo();
    else if (key === 'y' || key === 'z') actions.edits.redo();
    else return false;
    return true;
  }
  if (event.shiftKey) return false;
  const slot = Number(key);
  if (Number.isInteger(slot) && slot >= 1 && slot <= MAX_SLOT) actions.slot(slot);
  else if (key === 'c') actions.add('cue');
  else if (key === 'k') actions.add('mark');
  else if (key === 'o') actions.add('loop');
  else if (key === 'escape' && actions.current !== null) actions.follow(null);
  else return false;
  return true;
}
