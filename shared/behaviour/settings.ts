/** Controls that change how the deck plays and not where it is: quantise, menu, tempo, bend, lengths of jumps, bank. */
import type { DeckProfile } from '../profile/schema.ts';
import { type DeckState, message, same, type Step } from './state.ts';

export const pressQuantise = (state: DeckState): Step =>
  same({ ...state, quantise: { ...state.quantise, on: !state.quantise.on } });

export function pressQuantiseStep(state: DeckState, { quantise }: DeckProfile): Step {
  const { steps } = quantise;
  const i = steps.indexOf(state.quantise.step);
  return same({
    ...state,
    quantise: { ...state.quantise, step: steps[(i - 1 + steps.length) % steps.length] },
  });
}

/** The menu opens on what is set: entry 0 is off, then the steps from the finest. */
export function pressMenu(state: DeckState, { quantise }: DeckProfile): Step {
  if (state.menu !== null) return same({ ...state, menu: null });
  const entry = state.quantise.on ? quantise.steps.indexOf(state.quantise.step) + 1 : 0;
  return same({ ...state, menu: entry });
}

export function turnMenu(state: DeckState, by: 1 | -1, { quantise }: DeckProfile): Step {
  if (state.menu === null) return message(state, 'menu-closed');
  return same({ ...state, menu: Math.min(Math.max(0, state.menu + by), quantise.steps.length) });
}

export function chooseMenu(state: DeckState, { quantise }: DeckProfile): Step {
  const { menu } = state;
  if (menu === null) return message(state, 'menu-closed');
  const step = menu === 0 ? state.quantise.step : quantise.steps[menu - 1];
  return same({ ...state, menu: null, quantise: { on: menu > 0, step } });
}

export const moveFader = (state: DeckState, fader: number): Step =>
  same({ ...state, tempo: { ...state.tempo, fader } });

/** The next wider range, after the widest the narrowest; the fader stays where it is, so the tempo changes. */
export function pressTempoRange(state: DeckState, { playback }: DeckProfile): Step {
  const ranges = playback.tempoRangesPercent;
  const range = ranges[(ranges.indexOf(state.tempo.range) + 1) % ranges.length];
  return same({ ...state, tempo: { ...state.tempo, range } });
}

export const bend = (state: DeckState, amount: number): Step => same({ ...state, bend: amount });

export const pressBank = (state: DeckState, bank: number): Step => same({ ...state, bank });

/** The next longer or shorter beat jump; at the end of the list nothing changes. */
export function pressJumpLength(state: DeckState, by: 1 | -1, { beatJump }: DeckProfile): Step {
  const length = beatJump.lengths[beatJump.lengths.indexOf(state.jump.length) + by] ?? state.jump.length;
  return same({ ...state, jump: { ...state.jump, length } });
}

export const pressJumpPage = (state: DeckState): Step =>
  same({ ...state, jump: { ...state.jump, pageOpen: !state.jump.pageOpen } });
