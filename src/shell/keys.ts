/** The keys of the ladder. They work everywhere but in fields, and leave buttons their own keys. */
import type { AxisState } from '../ladder/ladder.svelte.ts';
import { PAN_STEP, ZOOM_STEP } from '../ladder/view.ts';
import type { Transport } from '../player/transport.svelte.ts';
import type { KeyRow } from './key-row.ts';

/** Key → what it does, in the order of the help page. */
export const KEYS: readonly KeyRow[] = [
  { keys: 'Space', does: 'Play or pause', presses: [' '] },
  { keys: '← →', does: 'Scroll the ladder by a quarter of the view', presses: ['ArrowLeft', 'ArrowRight'] },
  { keys: '+ −', does: 'Look closer or wider, around the playhead', presses: ['+', '-', '=', '−'] },
  { keys: '0', does: 'Show the whole track', presses: ['0'] },
  { keys: 'Home End', does: 'Go to the start or the end', presses: ['Home', 'End'] },
  { keys: 'F', does: 'Follow the playhead while playing, or stay', presses: ['f'] },
  { keys: 'Tab', does: 'Go from control to control; every control works by keyboard' },
  { keys: '← → on the playhead', does: 'Move by a beat; Page Up and Page Down by a bar' },
];

const FIELDS = 'input, select, textarea, [contenteditable], [role="slider"]';

/**
 * Acts on a key press.
 * @returns whether the key was ours (then it should do nothing else)
 */
export function ladderKey(event: KeyboardEvent, axis: AxisState, transport: Transport): boolean {
  if (event.ctrlKey || event.metaKey || event.altKey) return false;
  const target = event.target instanceof Element ? event.target : null;
  const field = target?.closest(FIELDS);
  // The playhead is a slider with arrow keys of its own; space still plays there.
  if (field && !(event.key === ' ' && field.getAttribute('role') === 'slider')) return false;
  if (event.key === ' ' && target?.closest('button, a, summary')) return false;
  const step = axis.view.span * PAN_STEP;
  switch (event.key) {
    case ' ':
      void transport.toggle();
      return true;
    case 'ArrowLeft':
      axis.pan(-step);
      return true;
    case 'ArrowRight':
      axis.pan(step);
      return true;
    case '+':
    case '=':
      axis.zoom(ZOOM_STEP);
      return true;
    case '-':
    case '−':
      axis.zoom(1 / ZOOM_STEP);
      return true;
    case '0':
      axis.whole();
      return true;
    case 'Home':
      axis.seek(0);
      return true;
    case 'End':
      axis.seek(axis.duration);
      return true;
    case 'f':
    case 'F':
      axis.follow = !axis.follow;
      return true;
    default:
      return false;
  }
}
