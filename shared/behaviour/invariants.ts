/** What holds in every state of a deck, whatever was pressed. Written down once, for tests and for development. */
import type { DeckProfile } from '../profile/schema.ts';
import { endTime, positionAt, shadowAt } from './movement.ts';
import type { DeckState } from './state.ts';

const TOLERANCE = 1e-9;

/** Name of each broken invariant; empty where the state is possible. */
export function brokenInvariants(state: DeckState, profile: DeckProfile): string[] {
  const { track, loop, pending, shadow, tempo, pads, recall } = state;
  const duration = track?.duration ?? 0;
  const position = positionAt(state);
  const inTrack = (time: number) => time >= -TOLERANCE && time <= duration + TOLERANCE;
  const { hotCues, quantise, playback, beatJump, loops } = profile;
  const checks: Record<string, boolean> = {
    'the playhead is inside the track': Number.isFinite(position) && inTrack(position),
    'the anchor lies not in the future': state.anchor.time <= state.now + TOLERANCE,
    'nothing plays without a track':
      track !== null || (!state.playing && !loop && !pending && !shadow && !state.searching),
    'a deck loads or has a track, not both': !(track && state.loading),
    'no track is loaded or loading without the drive, but in the saving loop':
      state.drive === 'in' || (!state.loading && (!track || state.savingLoop)),
    'the saving loop is in force and the drive is gone':
      !state.savingLoop || (state.drive === 'pulled' && (loop?.active ?? false)),
    'a playing track has not ended':
      !state.playing || state.reverse || state.searching < 0 || endTime(state) > state.now - TOLERANCE,
    'the held cue button plays': !state.cueHeld || state.playing,
    'reverse is played, with a way back': !state.reverse || (state.playing && shadow !== null),
    'a loop has a length and lies in the track':
      !loop || (loop.end > loop.start && inTrack(loop.start) && inTrack(loop.end)),
    'a loop in force holds the playhead before its end': !loop?.active || position <= loop.end + TOLERANCE,
    'no loops where the deck has none': loops.method !== 'none' || !loop || state.drive === 'pulled',
    'a set start lies in the track': state.loopIn === null || inTrack(state.loopIn),
    'a held length button has its loop': !state.loopHold || loop?.active === true,
    'a waiting jump lies ahead, lands in the track and waits for quantise':
      !pending ||
      (pending.atTime > state.now - TOLERANCE &&
        inTrack(pending.to) &&
        state.playing &&
        state.quantise.on &&
        !state.reverse &&
        !state.searching),
    'what runs unheard is in the track': !shadow || inTrack(shadowAt(state) ?? NaN),
    'only slip and reverse have a way back': !shadow || playback.slip,
    'slip where the deck has it': !state.slip || playback.slip,
    'every slot has one entry': pads.length === hotCues.slots,
    'a cue of this track lies in it': pads.every((p) => !p || p.trackId !== track?.id || inTrack(p.time)),
    'the bank exists': state.bank >= 1 && state.bank <= hotCues.banks,
    'recall where it is by hand': recall.phase === 'off' || hotCues.recall === 'by-hand',
    'quantise has a step of the deck': quantise.steps.length
      ? quantise.steps.includes(state.quantise.step)
      : !state.quantise.on && state.quantise.step === 0,
    'the menu shows an entry that exists':
      state.menu === null ||
      (quantise.setIn === 'menu' && state.menu >= 0 && state.menu <= quantise.steps.length),
    'the jump length exists': beatJump.lengths.length
      ? beatJump.lengths.includes(state.jump.length)
      : state.jump.length === 0,
    'the page of jumps exists': !state.jump.pageOpen || beatJump.where === 'screen',
    'the tempo range exists': playback.tempoRangesPercent.length
      ? playback.tempoRangesPercent.includes(tempo.range)
      : tempo.range === 0,
    'the fader is on its way': Math.abs(tempo.fader) <= 1 && Math.abs(state.bend) <= 1,
    'sync where the deck has it': state.syncRate === null || (playback.sync && state.syncRate > 0),
    'the cue point lies in the track': !track || inTrack(state.cuePoint),
  };
  return Object.entries(checks).flatMap(([name, holds]) => (holds ? [] : [name]));
}
