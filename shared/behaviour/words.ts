/** The words of what a deck tells, in one place and ready to translate. */
import type { MessageKey } from './effect.ts';

export const messageWords: Record<MessageKey, string> = {
  loading: 'The track is still loading.',
  'no-track': 'No track is loaded.',
  'track-ended': 'The track is at its end: go back first.',
  'drive-out': 'The drive is gone: put it back first.',
  'drive-in-place': 'The drive is in its place.',
  'stop-before-loading': 'The deck is playing: stop it before you load a track.',
  'load-failed': 'The drive was pulled before the track was loaded.',
  'loop-needs-grid': 'This track has no beat grid, so a length in beats cannot be set: set the loop by hand.',
  'loop-past-end': 'The loop would end after the track: set a shorter one or start earlier.',
  'loop-shortest': 'The loop is as short as this deck makes it.',
  'loop-longest': 'The loop is as long as this deck makes it.',
  'loop-needs-start': 'Set the start of the loop first.',
  'loop-too-short': 'The end is at or before the start of the loop: press it later.',
  'no-loop': 'There is no loop for that.',
  'jump-needs-grid': 'This track has no beat grid, so the deck cannot jump by beats.',
  'jump-outside': 'The jump would leave the track.',
  'page-closed': 'Open the page with the beat jumps first.',
  'menu-closed': 'Open the menu first.',
  'seek-needs-stop': 'The deck is playing: stop it before you seek by touch.',
  'sync-needs-master': 'No other deck leads, so there is nothing to follow.',
  'sync-needs-grid': 'This track has no beat grid, so it cannot follow.',
  'slot-empty': 'There is no cue in this slot.',
  'no-stored-cue': 'The track has no cue stored for this slot.',
};
