/** Planned moves as the screen offers them. */
import type { Marker } from '../../shared/markers/marker.ts';
import type { MoveKind, PlannedMove, SetEntry } from '../../shared/gig/types.ts';
import { words } from './words.ts';

/** Moves that need no marker, as they are planned first. */
export const SIMPLE_MOVES: readonly PlannedMove[] = [
  { kind: 'make-loop', beats: 4, time: null },
  { kind: 'jump-beats', beats: 4 },
  { kind: 'follow-tempo' },
  { kind: 'set-cues', count: 2 },
  { kind: 'slip' },
  { kind: 'slip-reverse' },
  { kind: 'copy-deck' },
  { kind: 'sweep-strip' },
  { kind: 'listen-ahead' },
  { kind: 'shift-tempo', percent: 10 },
  { kind: 'hold-key' },
];

/** The move in words, with its numbers. */
export function moveText(move: PlannedMove, markers: readonly Marker[] = []): string {
  const text = words.moves[move.kind];
  switch (move.kind) {
    case 'fire-cue':
    case 'run-loop': {
      const name = markers.find(({ id }) => id === move.markerId)?.name;
      return name ? `${text}: ${name}` : text;
    }
    case 'make-loop':
    case 'jump-beats':
      return `${text}: ${move.beats}`;
    case 'set-cues':
      return `${text}: ${move.count}`;
    case 'shift-tempo':
      return `${text}: ${move.percent} %`;
    default:
      return text;
  }
}

export const simpleMove = (kind: MoveKind): PlannedMove | null =>
  SIMPLE_MOVES.find((move) => move.kind === kind) ?? null;

/** Mix points and moves as a track's own markers tell them: the cues that the set needs, and its loops. */
export function fromMarkers(
  entry: SetEntry,
  markers: readonly Marker[],
): Pick<SetEntry, 'mixIn' | 'mixOut' | 'moves'> {
  const named = (name: RegExp) => markers.find((marker) => name.test(marker.name))?.time ?? null;
  const has = (id: string) => entry.moves.some((move) => 'markerId' in move && move.markerId === id);
  const fresh = markers.flatMap((marker): PlannedMove[] => {
    if (has(marker.id)) return [];
    if (marker.kind === 'cue' && marker.importance === 3) return [{ kind: 'fire-cue', markerId: marker.id }];
    return marker.kind === 'loop' ? [{ kind: 'run-loop', markerId: marker.id }] : [];
  });
  return {
    mixIn: entry.mixIn ?? named(/^mix in/i),
    mixOut: entry.mixOut ?? named(/^mix out/i),
    moves: [...entry.moves, ...fresh],
  };
}
