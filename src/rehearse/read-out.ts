/** What a rehearsal deck does, in words; only what the deck has. */
import { activeLoop, shadowAt } from '../../shared/behaviour/movement.ts';
import type { DeckState } from '../../shared/behaviour/state.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { deckWords, loopWords, quantiseLines, type Line } from '../train/hands/read-out.ts';
import { words as handWords } from '../train/hands/words.ts';
import { missingCues } from '../../shared/behaviour/hot-cues.ts';
import { words } from './words.ts';

export function readOut(state: DeckState, profile: DeckProfile): Line[] {
  const { state: say } = handWords;
  const lines: Line[] = [{ label: words.deckWord, value: deckWords(state) }];
  if (profile.loops.method !== 'none' || activeLoop(state)) {
    lines.push({ label: words.loop, value: loopWords(state) });
  }
  lines.push(...quantiseLines(state, profile));
  if (profile.hotCues.banks > 1)
    lines.push({ label: say.bank, value: say.of(state.bank, profile.hotCues.banks) });
  if (profile.hotCues.slots > 0 && profile.hotCues.recall === 'by-hand') {
    const own = profile.hotCues.slots - missingCues(state, profile).length;
    lines.push({ label: say.recall, value: say.recallPhase[state.recall.phase] });
    if (state.track) lines.push({ label: say.cues, value: say.of(own, profile.hotCues.slots) });
  }
  if (profile.beatJump.where === 'buttons')
    lines.push({ label: words.jumpLength, value: say.loopOf(state.jump.length) });
  if (profile.playback.slip) {
    const under = shadowAt(state) !== null;
    lines.push({ label: words.slip, value: under ? words.slipUnder : state.slip ? words.on : words.off });
  }
  if (profile.playback.sync) {
    lines.push({ label: words.sync, value: state.syncRate === null ? words.notFollowing : words.following });
  }
  if (state.drive === 'pulled') lines.push({ label: say.drive, value: say.drivePulled });
  return lines;
}
