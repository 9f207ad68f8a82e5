/** What the library keeps: one record type per store. Plain data only, so that the browser can clone it. */
import type {
  KeyEstimate,
  Partial as PartialRead,
  SourceFormat,
  TrackAnalysis,
} from '../../shared/analysis.ts';
import type { Session } from '../../shared/drills/types.ts';
import type { EditedGrid } from '../../shared/grid/edit-model.ts';
import { mainTempo } from '../../shared/grid/grid.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import type { ProfileFile } from '../../shared/profile/schema.ts';
import type { EditedSection } from '../../shared/sections/edit.ts';
import type { TrackTags } from '../../shared/tags.ts';

/** Tags as stored: the cover lies in a store of its own, so that the list stays light. */
export type StoredTags = Omit<TrackTags, 'cover'>;

/** What the second, general-purpose tempo estimate said. `bpm` null: it found no beat. */
export interface SecondOpinion {
  /** beats per minute */
  bpm: number | null;
  /** Time of a beat, s from the first decoded sample; null where bpm is. */
  offset: number | null;
}

/** The few facts of an analysis that the track list shows, so that it need not load the analysis. */
export interface TrackSummary {
  silent: boolean;
  /** beats per minute, null without a steady beat */
  tempo: number | null;
  /** 0..1 */
  tempoConfidence: number;
  /** `tempo` is that of a grid corrected by hand. Missing: not known to be. */
  gridByHand?: boolean;
  key: KeyEstimate | null;
  /** LUFS */
  loudnessDb: number | null;
}

/** A demo track's audio is fetched again from its address instead of being stored. */
export interface DemoSource {
  /** Id within the demo set; the same over all renderings of it. */
  id: string;
  url: string;
}

export interface TrackRecord {
  /** SHA-256 of the file's bytes, hex. */
  id: string;
  /** File name as the person gave it. */
  name: string;
  /** bytes */
  size: number;
  /** Milliseconds since 1970. */
  addedAt: number;
  /** Place in the list; smaller stands higher. */
  order: number;
  tags: StoredTags;
  source: SourceFormat;
  /** s */
  duration: number;
  partial: PartialRead | null;
  summary: TrackSummary;
  /** null: not asked yet */
  secondOpinion: SecondOpinion | null;
  demo: DemoSource | null;
  /** Where the person had the analysis look for the tempo, bpm. Missing: nowhere in particular. */
  tempoAround?: number;
  /** Set while a removal can still be undone: milliseconds since 1970 at which it was removed. */
  removedAt: number | null;
}

export interface AnalysisRecord {
  id: string;
  /** ANALYSIS_VERSION that wrote it. */
  version: number;
  analysis: TrackAnalysis | LongAnalysis;
  analysedAt: number;
}

/** A long track's analysis: its arrays stand in a file, because copying them into the record holds the page up. */
export interface LongAnalysis {
  /** As `analysisParts` writes it. */
  json: string;
  /** Its `floats`, one after the other. */
  floats: Blob;
}

export interface CoverRecord {
  id: string;
  cover: Blob;
}

export interface AudioRecord {
  id: string;
  audio: Blob;
  keptAt: number;
}

/** What the person corrected and marked; null: nothing there, the analysis stands. */
export interface Corrections {
  grid: EditedGrid | null;
  sections: EditedSection[] | null;
  /** Null or missing: none were ever placed. */
  markers?: Marker[] | null;
}

/** One state of the corrections, with what led to it in words. */
export interface CorrectionStep extends Corrections {
  what: string;
}

/** All states, oldest first; `at` is the one in force. */
export interface CorrectionHistory {
  steps: CorrectionStep[];
  at: number;
}

/** What the person corrected by hand. Kept apart from the analysis, so that a new analysis cannot lose it. */
export interface EditRecord extends Corrections {
  id: string;
  /** Missing in records that were written before there was one. */
  history?: CorrectionHistory;
  savedAt: number;
}

export interface ProfileRecord {
  id: string;
  file: ProfileFile;
  savedAt: number;
}

/** The session of drills that is open, so that a reload goes on with it. */
export interface SessionRecord {
  id: 'open';
  session: Session;
  savedAt: number;
}

/** A file that waits to be read. */
export interface UnreadRecord {
  /** Given by the database. */
  key?: number;
  name: string;
  /** bytes */
  size: number;
  handle?: FileSystemFileHandle;
  audio?: Blob;
}

export interface SettingRecord {
  key: string;
  value: unknown;
  savedAt: number;
}

/** The list's facts of an analysis. */
export function summarise(analysis: TrackAnalysis): TrackSummary {
  return {
    silent: analysis.silent,
    tempo: mainTempo(analysis.grid),
    tempoConfidence: analysis.grid.confidence,
    key: analysis.key,
    loudnessDb: analysis.loudness?.integratedDb ?? null,
  };
}

export interface NewFile {
  /** SHA-256 of the content, hex. */
  id: string;
  name: string;
  /** bytes */
  size: number;
  demo: DemoSource | null;
}

/** The record of a track that was just analysed; its place in the list is given when it is saved. */
export function newTrack(
  file: NewFile,
  tags: StoredTags | TrackTags,
  analysis: TrackAnalysis,
  now: number,
): TrackRecord {
  const { cover: _cover, ...light } = { cover: null, ...tags };
  return {
    ...file,
    addedAt: now,
    order: 0,
    tags: light,
    source: analysis.source,
    duration: analysis.duration,
    partial: analysis.partial,
    summary: summarise(analysis),
    secondOpinion: null,
    removedAt: null,
  };
}

/** What stands in the list: the tagged title, else the file's name. */
export function titleOf(track: Pick<TrackRecord, 'tags' | 'name'>): string {
  return track.tags.title || track.name;
}
