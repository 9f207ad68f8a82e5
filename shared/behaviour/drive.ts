/** Loading a track, and the drive that is pulled while it plays. */
import { beatAtTime, timeOfBeat } from '../grid/grid.ts';
import type { DeckProfile } from '../profile/schema.ts';
import type { Effect } from './effect.ts';
import { padsAfterLoad } from './hot-cues.ts';
import { dropPlan } from './jump.ts';
import { at, positionAt } from './movement.ts';
import { loadingSeconds, SAVING_LOOP_BEATS, SAVING_LOOP_SECONDS } from './practice.ts';
import { type DeckState, message, same, type Span, type Step } from './state.ts';
import { gridOf, kept } from './steps.ts';
import { stop, andThen } from './transport.ts';
import type { DeckTrack } from './track.ts';

/** Takes the time of `loadingSeconds`; a playing deck refuses. */
export function load(state: DeckState, track: DeckTrack, profile: DeckProfile): Step {
  if (state.drive === 'pulled') return message(state, 'drive-out');
  if (state.playing || state.searching) return message(state, 'stop-before-loading');
  const until = state.now + loadingSeconds(track.metadataItems, profile);
  return same({ ...unloaded(state), loading: { track, until } }, { kind: 'load', until });
}

/** Nothing of the old track is left but what the hot-cue buttons hold. */
function unloaded(state: DeckState): DeckState {
  return {
    ...state,
    track: null,
    loading: null,
    playing: false,
    anchor: { time: state.now, position: 0 },
    cuePoint: 0,
    cueHeld: false,
    searching: 0,
    reverse: false,
    syncRate: null,
    recall: { phase: 'off', presses: 0 },
    loop: null,
    loopIn: null,
    loopHold: null,
    pending: null,
    shadow: null,
    savingLoop: false,
  };
}

export function finishLoading(state: DeckState, profile: DeckProfile): Step {
  const { loading } = state;
  if (!loading) return same(state);
  const { track } = loading;
  const next = { ...unloaded(state), track, pads: padsAfterLoad(state, track, profile) };
  return same(next, { kind: 'loaded', trackId: track.id });
}

/** The loop that saves the set: from the beat before the playhead, or a stretch without a grid; inside the track. */
function savingSpan(state: DeckState): Span {
  const grid = gridOf(state);
  const position = positionAt(state);
  const duration = state.track?.duration ?? 0;
  const whole = { start: 0, end: duration };
  if (!grid) {
    const start = Math.min(position, duration - SAVING_LOOP_SECONDS);
    return start < 0 ? whole : { start, end: start + SAVING_LOOP_SECONDS };
  }
  const here = Math.floor(beatAtTime(grid, position) + 1e-6);
  const last = Math.floor(beatAtTime(grid, duration) + 1e-6) - SAVING_LOOP_BEATS;
  const first = Math.min(here, last);
  const start = timeOfBeat(grid, first);
  return start < 0 ? whole : { start, end: timeOfBeat(grid, first + SAVING_LOOP_BEATS) };
}

/** The drive is gone: as the profile says the music goes on in a loop or stops; a deck that stood is empty. */
export function pullDrive(state: DeckState, profile: DeckProfile): Step {
  if (state.drive === 'pulled') return same(state);
  const gone: DeckState = { ...state, drive: 'pulled' };
  if (state.loading) return message(unloaded(gone), 'load-failed');
  if (!state.track || (!state.playing && !state.searching)) return message(unloaded(gone), 'drive-out');
  if (profile.media.drivePulled === 'music-stops' || !state.playing) {
    const step = stop(gone, 'drive');
    const effects: Effect[] = [...step.effects, { kind: 'silence', atTime: state.now }];
    return { state: unloaded(step.state), effects };
  }
  return andThen(dropPlan(gone), (s) => saveSet(s));
}

/** SAVING_LOOP_BEATS where the span is that, null without a grid or where the track is shorter. */
function savedBeats(state: DeckState, { start, end }: Span): number | null {
  const grid = gridOf(state);
  const whole = start === 0 && end === state.track?.duration;
  return grid && !whole ? SAVING_LOOP_BEATS : null;
}

function saveSet(state: DeckState): Step {
  const from = positionAt(state);
  const span = savingSpan(state);
  const loop = { ...span, beats: savedBeats(state, span), active: true };
  const calm = {
    ...state,
    searching: 0 as const,
    reverse: false,
    shadow: null,
    loopHold: null,
    loopIn: null,
  };
  const atTime = state.now;
  // Pulled while the playhead was beyond the span: into it, on the beat.
  const to = kept(from, span);
  const next = at({ ...calm, cueHeld: false, loop, savingLoop: true }, to);
  const effects: Effect[] = [
    { kind: 'saving-loop', atTime },
    { kind: 'loop-set', ...span, beats: loop.beats, atTime },
  ];
  if (to !== from) effects.push({ kind: 'jump', from, to, atTime, cause: 'drive' });
  return { state: next, effects };
}

/** The drive is back: the saving loop becomes a loop like any other, on a deck that has loops; an empty deck must be loaded. */
export function plugDrive(state: DeckState, { loops }: DeckProfile): Step {
  if (state.drive === 'in') return message(state, 'drive-in-place');
  const back: DeckState = { ...state, drive: 'in', savingLoop: false };
  if (!state.loop || loops.method !== 'none') return same(back);
  return same({ ...back, loop: null }, { kind: 'loop-left', atTime: state.now });
}
