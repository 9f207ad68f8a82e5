/**
 * What the profiles do not say: choices and numbers that hold for every deck. Each says where it comes from; none
 * of them was measured on a device.
 */
import type { DeckProfile } from '../profile/schema.ts';

/**
 * With quantise on, a jump by a hot cue waits for the next step of the grid, so that the beat goes on unbroken.
 * Common practice, no source. A jump while the deck stands or plays backwards is made at once.
 */
export const QUANTISED_JUMP = 'at-next-step';
/**
 * With quantise on, a point that is set (cue, start and end of a loop) and the place a cue leads to are the nearest
 * step of the grid. Common practice, no source; the verdicts of markers say the same.
 */
export const QUANTISED_POINT = 'nearest-step';
/** Nearer to a step than this, in beats, a press is on it: half a microsecond at club tempos. */
export const ON_STEP = 1e-6;

/** Shift of the beat that is heard as out of time, s. Estimate. */
export const OUT_OF_TIME = 0.01;
/** Two places nearer than this are the same, s. */
export const SAME_PLACE = 1e-4;

/** How long a button is held for each longer length where one button sets the lengths, s. Estimate. */
export const LONG_PRESS = 0.5;
/** Length of the loop that saves the set when the drive is gone, in beats. Estimate. */
export const SAVING_LOOP_BEATS = 4;
/** The same for a track without a grid, s. Estimate. */
export const SAVING_LOOP_SECONDS = 2;

/** Speed of searching while the search button is held, times normal. Estimate. */
export const SEARCH_SPEED = 8;
/** Change of tempo at full bend, as a share. Estimate. */
export const BEND = 0.04;
/** Places that a touch strip tells apart. Estimate. */
export const STRIP_PLACES = 256;
/** Beat jump that a deck with a chosen length starts with, where it has it. Estimate. */
export const FIRST_JUMP = 4;
/** Quantise step that a deck starts with, where it has it. Common practice, no source. */
export const FIRST_STEP = 1;

/** Steps of the tempo fader, in percent, up to each range in percent. Estimate. */
const TEMPO_STEPS: readonly (readonly [range: number, step: number])[] = [
  [8, 0.02],
  [16, 0.05],
  [100, 0.5],
];

/** Finest change of tempo at a range, in percent. */
export function tempoStep(range: number): number {
  return (TEMPO_STEPS.find(([most]) => range <= most) ?? TEMPO_STEPS[TEMPO_STEPS.length - 1])[1];
}

/** Loading a track takes this long, s. Estimate. */
export const LOAD_SECONDS = 1.2;
/** Each stored point or long tag adds this on a deck that reads metadata slowly, s. Estimate. */
export const LOAD_SECONDS_PER_ITEM = 0.08;

/** How long the deck reads a track before it can be played, s. */
export function loadingSeconds(metadataItems: number, profile: DeckProfile): number {
  return LOAD_SECONDS + (profile.media.slowWithMetadata ? metadataItems * LOAD_SECONDS_PER_ITEM : 0);
}

/** Time that a hand needs from one press to the next, s. Estimate. */
export const PRESS_SECONDS = 0.25;
/** Time that one step of a knob needs, s. Estimate. */
export const TURN_SECONDS = 0.08;
/** Time to find the drive and put it back, s. Estimate. */
export const PLUG_SECONDS = 3;
