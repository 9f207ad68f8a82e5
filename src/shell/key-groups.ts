/** The keys of the whole app, by where they work: the help page's list. */
import { MARKER_KEYS } from '../markers/keys.ts';
import { MARK_KEYS } from '../mark/keys.ts';
import { OTHER_DECK_KEY } from '../rehearse/controls.ts';
import { words } from '../words.ts';
import type { KeyRow } from './key-row.ts';
import { KEYS } from './keys.ts';

export interface KeyGroup {
  id: string;
  title: string;
  rows: readonly KeyRow[];
}

export const KEY_GROUPS: readonly KeyGroup[] = [
  { id: 'ladder', title: words.help.keysLadder, rows: KEYS },
  { id: 'markers', title: words.help.keysMarkers, rows: MARKER_KEYS },
  { id: 'mark', title: words.help.keysMark, rows: MARK_KEYS },
  {
    id: 'train',
    title: words.help.keysTrain,
    rows: [
      { keys: '← → on a strip', does: words.help.keyStrip },
      { keys: '↑ ↓ on answers', does: words.help.keyAnswers },
      { keys: 'as printed on it', does: words.help.keyHands },
    ],
  },
  {
    id: 'rehearse',
    title: words.help.keysRehearse,
    rows: [
      { keys: 'as printed on it', does: words.help.keyRehearse },
      { keys: OTHER_DECK_KEY.toUpperCase(), does: words.help.keyOtherDeck },
      { keys: 'Delete', does: words.help.keyClearCue },
    ],
  },
];
