/** Findings about a file and its grid: whether it loads, how fast, and whether beats can be trusted. */
import type { DeckProfile } from '../../profile/schema.ts';
import { fileRules } from '../../survival/rules/file.ts';
import type { JudgedTrack, RuleContext } from '../../survival/context.ts';
import type { Reason } from '../../survival/verdict.ts';
import type { SetEntry, SetTrack } from '../types.ts';
import { reasonWeight, weightOf } from './finding.ts';
import { aboutTrack, type Gathering } from './gather.ts';
import type { TrackCheck } from './track-check.ts';

/**
 * Below this chance that tempo and beats are right a grid is called unsure, as in the list of tracks: of grids just
 * above it about one in seven is wrong (tests/bench/grid-fit.ts). Estimate.
 */
export const UNSURE_BELOW = 0.8;
/** From here on tags and covers are much to read, bytes: a large cover, which no deck shows so large. Estimate. */
export const HEAVY_METADATA_BYTES = 500_000;
/** So many stored points of a track are much to read. Estimate. */
export const MANY_MARKERS = 24;
/** A comment of so many characters is much to read. Estimate. */
export const LONG_COMMENT = 1000;

type WithSource = Pick<SetTrack, 'source'>;

/** Why a file does not load on a deck; empty: it does. A track without markers has no verdicts, so it is asked here. */
export function fileReasons({ source }: WithSource, profile: DeckProfile): Reason[] {
  // The rules of files look at nothing but source and profile, and at no marker.
  const context = { analysis: { source } as JudgedTrack, profile } as RuleContext;
  const whole = { kind: 'mark', id: '', time: 0, name: '', importance: 3 } as const;
  return fileRules.flatMap(({ key, judge }) => {
    const found = judge(whole, context);
    return found ? [{ key, ...found }] : [];
  });
}

/** Reports why the file does not load; true when it does not. */
export function fileFaults(
  found: Gathering,
  entry: SetEntry,
  { track }: TrackCheck,
  profile: DeckProfile,
): boolean {
  const reasons = fileReasons(track, profile);
  for (const { key, params, remedies } of reasons) {
    found.report({
      key: key as 'file-format',
      group: entry.id,
      weight: reasonWeight(key, 'lost', 'mark', 3, false),
      profile,
      detail: { ...aboutTrack(entry, params), remedies },
      remedies,
    });
  }
  return reasons.length > 0;
}

export function reportPartial(found: Gathering, entry: SetEntry, { track }: TrackCheck): void {
  if (!track.partial) return;
  found.report({
    key: 'file-partial',
    group: entry.id,
    weight: weightOf('file-partial'),
    profile: null,
    detail: aboutTrack(entry, { reason: track.partial.reason }),
    remedies: [{ action: 'gig-advice', key: 'replace-file' }],
  });
}

/** Whether anything on the deck goes by beats. */
export const goesByBeats = ({ waveform, phase, quantise, loops, playback }: DeckProfile): boolean =>
  waveform.grid !== 'none' ||
  phase.readout !== 'none' ||
  quantise.steps.length > 0 ||
  loops.method !== 'none' ||
  playback.sync;

export function reportGrid(
  found: Gathering,
  entry: SetEntry,
  { track }: TrackCheck,
  profile: DeckProfile,
): void {
  if (track.silent || track.gridByHand || !goesByBeats(profile)) return;
  const none = !track.grid.segments.length;
  if (!none && track.grid.confidence >= UNSURE_BELOW) return;
  const key = none ? 'grid-none' : 'grid-unsure';
  found.report({
    key,
    group: entry.id,
    weight: weightOf(key),
    profile,
    detail: aboutTrack(entry, none ? {} : { percent: Math.round(track.grid.confidence * 100) }),
    remedies: [{ action: 'check-grid' }],
  });
}

/** What a track carries besides its sound. */
export interface Baggage {
  /** Tags and covers */
  metadataBytes: number;
  /** Characters */
  comment: number;
  /** Stored points */
  markers: number;
}

/** Whether that is so much that the track loads noticeably slower there. */
export const loadsSlowly = ({ metadataBytes, comment, markers }: Baggage, { media }: DeckProfile): boolean =>
  media.slowWithMetadata &&
  (metadataBytes >= HEAVY_METADATA_BYTES || comment >= LONG_COMMENT || markers >= MANY_MARKERS);

export function reportLoading(
  found: Gathering,
  entry: SetEntry,
  { track }: TrackCheck,
  profile: DeckProfile,
): void {
  const { metadataBytes, tags, markers } = track;
  const baggage = {
    metadataBytes: metadataBytes ?? 0,
    comment: tags.comment?.length ?? 0,
    markers: markers.length,
  };
  if (!loadsSlowly(baggage, profile)) return;
  found.report({
    key: 'slow-to-load',
    group: '',
    weight: weightOf('slow-to-load'),
    profile,
    detail: { ...aboutTrack(entry, { bytes: track.metadataBytes ?? 0, markers: track.markers.length }) },
    remedies: [{ action: 'make-copy' }, { action: 'gig-advice', key: 'load-early' }],
  });
}
