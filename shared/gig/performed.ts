/** What was performed on a deck as planned moves of a set, so that the check of the set asks its booth for them. */
import type { IntendedMove } from '../behaviour/what-if/intents.ts';
import type { Performance } from '../behaviour/what-if/performance.ts';
import type { Marker } from '../markers/marker.ts';
import { MAX_MOVES, type PlannedMove } from './types.ts';

/** A jump this near to a marker leads to it, s: half a quantise step at club tempos. */
const AT_MARKER = 0.25;

/** Each kind of move with the same numbers once, in the order in which they were made. */
export function plannedMoves(
  moves: readonly IntendedMove[],
  { moves: made }: Performance,
  markers: readonly Marker[],
): PlannedMove[] {
  const planned = moves.flatMap(({ intent }): PlannedMove[] => {
    switch (intent.kind) {
      case 'jump-to-cue': {
        const cue = nearest(markers, intent.position);
        return cue ? [{ kind: 'fire-cue', markerId: cue.id }] : [];
      }
      case 'loop': {
        const beats = intent.beats === null ? 0 : Math.round(intent.beats * 1000) / 1000;
        return beats > 0 ? [{ kind: 'make-loop', beats, time: null }] : [];
      }
      case 'jump-by':
        return intent.beats ? [{ kind: 'jump-beats', beats: intent.beats }] : [];
      case 'follow':
        return [{ kind: 'follow-tempo' }];
      case 'reverse':
        return [{ kind: 'slip-reverse' }];
      default:
        return [];
    }
  });
  const cues = moves.filter(({ intent }) => intent.kind === 'set-cue').length;
  if (cues) planned.push({ kind: 'set-cues', count: Math.min(16, cues) });
  const pressed = (kind: string) => made.some(({ press }) => press.kind === kind);
  if (pressed('slip')) planned.push({ kind: 'slip' });
  if (pressed('strip-touch')) planned.push({ kind: 'sweep-strip' });
  if (pressed('overview-listen')) planned.push({ kind: 'listen-ahead' });
  const rates = moves.flatMap(({ intent }) => (intent.kind === 'tempo' ? [(intent.rate - 1) * 100] : []));
  const widest = rates.reduce((most, rate) => (Math.abs(rate) > Math.abs(most) ? rate : most), 0);
  const percent = Math.round(widest * 100) / 100;
  if (percent) planned.push({ kind: 'shift-tempo', percent: Math.max(-100, Math.min(100, percent)) });
  return unique(planned);
}

/** `planned` with those of `more` that it does not have, as many as an entry may have. */
export function withMoves(planned: readonly PlannedMove[], more: readonly PlannedMove[]): PlannedMove[] {
  return unique([...planned, ...more]).slice(0, Math.max(planned.length, MAX_MOVES));
}

const unique = (moves: readonly PlannedMove[]): PlannedMove[] => [
  ...new Map(moves.map((move) => [JSON.stringify(move), move])).values(),
];

function nearest(markers: readonly Marker[], position: number): Marker | null {
  const cues = markers.filter(({ kind, time }) => kind === 'cue' && Math.abs(time - position) <= AT_MARKER);
  cues.sort((a, b) => Math.abs(a.time - position) - Math.abs(b.time - position));
  return cues[0] ?? null;
}
