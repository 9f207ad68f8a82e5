/** Looks for the presses on another deck, beside the page, so that the sound and the screen go on. */
import type { IntendedMove } from '../../shared/behaviour/what-if/intents.ts';
import { intendedMoves } from '../../shared/behaviour/what-if/intents.ts';
import { type Performance, replay } from '../../shared/behaviour/what-if/performance.ts';
import { type TranslatedMove, translate } from '../../shared/behaviour/what-if/translate.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';

export interface WhatIfRequest {
  performance: Performance;
  from: DeckProfile;
  to: DeckProfile;
}
export interface WhatIfReply {
  moves: TranslatedMove[];
  intended: IntendedMove[];
}

self.onmessage = ({ data }: MessageEvent<WhatIfRequest>) => {
  const { performance, from, to } = data;
  const intended = intendedMoves(replay(performance, from));
  const reply: WhatIfReply = { moves: translate(performance, from, to), intended };
  self.postMessage(reply);
};
