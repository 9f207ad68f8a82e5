/** Hot cues: buttons, banks, stored cues that come with the track or must be loaded by hand. */
import type { DeckProfile } from '../profile/schema.ts';
import type { Effect } from './effect.ts';
import { comeBack, dropPlan, jump } from './jump.ts';
import { positionAt, rateOf } from './movement.ts';
import { type DeckState, message, type Pad, same, type Step } from './state.ts';
import { nearestStep } from './steps.ts';
import type { DeckTrack } from './track.ts';

/** Cues that `recallPresses` counts for. */
const COUNTED_CUES = 3;

/** Slot of a button on the current bank; beyond `hotCues.slots` there is none. */
export const slotOf = (state: DeckState, button: number, { hotCues }: DeckProfile): number =>
  (state.bank - 1) * hotCues.buttons + button;

/** Button and bank of a slot. */
export const placeOf = (slot: number, { hotCues }: DeckProfile): { bank: number; button: number } => ({
  bank: Math.floor((slot - 1) / hotCues.buttons) + 1,
  button: ((slot - 1) % hotCues.buttons) + 1,
});

const withPad = (state: DeckState, slot: number, pad: Pad | null): DeckState => ({
  ...state,
  pads: state.pads.map((old, i) => (i === slot - 1 ? pad : old)),
});

const storedPad = (track: DeckTrack, slot: number): Pad | null => {
  const cue = track.cues.find((c) => c.slot === slot);
  return cue ? { time: Math.min(cue.time, track.duration), name: cue.name, trackId: track.id } : null;
};

/** What the buttons fire after a track is loaded: its own cues, or still those that were there. */
export function padsAfterLoad(state: DeckState, track: DeckTrack, profile: DeckProfile): (Pad | null)[] {
  if (profile.hotCues.recall === 'by-hand') return state.pads;
  return state.pads.map((_, i) => storedPad(track, i + 1));
}

/**
 * How the presses of a recall by hand fall, from the one number that the profile gives for three cues. Above three:
 * the recall button opens, each button loads its cue, the recall button closes; the presses beyond the three cues are
 * shared out, the opening having the odd one. Up to three: so many presses of the recall button load all cues.
 */
export function recallShape({ hotCues }: DeckProfile): { open: number; close: number; byButton: boolean } {
  const rest = hotCues.recallPresses - COUNTED_CUES;
  if (rest <= 0) return { open: Math.max(1, hotCues.recallPresses), close: 0, byButton: false };
  return { open: Math.ceil(rest / 2), close: Math.floor(rest / 2), byButton: true };
}

const OFF: DeckState['recall'] = { phase: 'off', presses: 0 };

export function pressRecall(state: DeckState, profile: DeckProfile): Step {
  const { track, recall } = state;
  if (!track) return message(state, 'no-track');
  const { open, close, byButton } = recallShape(profile);
  const presses = recall.presses + 1;
  if (recall.phase === 'off' || recall.phase === 'opening') {
    if (presses < open) return same({ ...state, recall: { phase: 'opening', presses } });
    if (byButton) return same({ ...state, recall: { phase: 'open', presses: 0 } });
    const stored = state.pads.map((_, i) => storedPad(track, i + 1));
    const loaded = stored.flatMap((pad, i): Effect[] => (pad ? [{ kind: 'cue-recalled', slot: i + 1 }] : []));
    return same({ ...state, pads: state.pads.map((old, i) => stored[i] ?? old), recall: OFF }, ...loaded);
  }
  return same({ ...state, recall: presses < close ? { phase: 'closing', presses } : OFF });
}

/** While recall is open a button loads the stored cue of its slot and fires nothing. */
function recallSlot(state: DeckState, slot: number, profile: DeckProfile): Step {
  const pad = state.track && storedPad(state.track, slot);
  if (!pad) return message(state, 'no-stored-cue');
  const next = withPad(state, slot, pad);
  const done = recallShape(profile).close === 0 && missingCues(next, profile).length === 0;
  return same(done ? { ...next, recall: OFF } : next, { kind: 'cue-recalled', slot });
}

/** Slots of this deck whose stored cue is not on its button. */
export function missingCues({ track, pads }: DeckState, { hotCues }: DeckProfile): number[] {
  return (track?.cues ?? []).flatMap(({ slot }) =>
    slot <= hotCues.slots && pads[slot - 1]?.trackId !== track?.id ? [slot] : [],
  );
}

export function pressHotCue(state: DeckState, button: number, profile: DeckProfile): Step {
  const slot = slotOf(state, button, profile);
  if (slot > profile.hotCues.slots) return same(state, { kind: 'no-such-control', press: 'hot-cue' });
  if (state.recall.phase === 'open' || state.recall.phase === 'closing')
    return recallSlot(state, slot, profile);
  const pad = state.pads[slot - 1];
  return pad ? fire(state, slot, pad) : setCue(state, slot);
}

function setCue(state: DeckState, slot: number): Step {
  if (!state.track) return message(state, 'no-track');
  const time = nearestStep(state, positionAt(state));
  return same(withPad(state, slot, { time, name: '', trackId: state.track.id }), {
    kind: 'cue-set',
    slot,
    position: time,
  });
}

/**
 * The button fires: a standing deck starts. A stale cue leads to the time it was set at in the other track, as a place
 * in this one: the buttons hold places, not music (our reading; estimate).
 */
function fire(state: DeckState, slot: number, pad: Pad): Step {
  if (!state.track) return message(state, 'no-track');
  const to = nearestStep(state, Math.min(pad.time, state.track.duration));
  if (to >= state.track.duration) return message(state, 'jump-outside');
  const still = !state.playing;
  const calm: DeckState = { ...state, cueHeld: false, searching: 0 };
  const step = jump(calm, { to, cause: 'hot-cue', slot, waits: !still });
  if (pad.trackId !== state.track.id) {
    step.effects.push({ kind: 'stale-cue', slot, trackId: pad.trackId });
  }
  if (!still) return step;
  const playing = { ...step.state, playing: true };
  const start: Effect = { kind: 'start', position: to, rate: rateOf(playing), atTime: state.now };
  return { state: playing, effects: [...step.effects, start] };
}

/** Letting go matters to slip alone: the track goes on where it would be. */
export function releaseHotCue(state: DeckState): Step {
  if (state.slip && state.pending?.cause === 'hot-cue') return dropPlan(state);
  return state.slip && state.playing && state.shadow?.by === 'hot-cue' ? comeBack(state) : same(state);
}

export function clearHotCue(state: DeckState, button: number, profile: DeckProfile): Step {
  const slot = slotOf(state, button, profile);
  if (slot > profile.hotCues.slots) return same(state, { kind: 'no-such-control', press: 'hot-cue-clear' });
  if (!state.pads[slot - 1]) return message(state, 'slot-empty');
  const dropped = state.pending?.slot === slot ? dropPlan(state) : same(state);
  return {
    state: withPad(dropped.state, slot, null),
    effects: [...dropped.effects, { kind: 'cue-cleared', slot }],
  };
}
