/** The demo set: rendered once by `npm run demo`, put into the library on a fresh start. */
import * as v from 'valibot';
import { decodeAnalysis } from '../../shared/analysis-codec.ts';
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { reason } from './database.ts';
import { type DemoSource, type StoredTags, type TrackRecord, newTrack } from './records.ts';
import { SENTENCES } from './sentences.ts';
import type { Settings } from './settings.ts';

/** Where the rendered set is served, below the page's own address. */
export const DEMO_PATH = 'demo/';

const text = v.nullish(v.string(), null);
const number = v.nullish(v.number(), null);

/** Loose: a later rendering may say more than this page reads. */
const DemoTrackSchema = v.looseObject({
  id: v.pipe(v.string(), v.minLength(1)),
  file: v.pipe(v.string(), v.minLength(1)),
  title: v.string(),
  artist: v.string(),
  genre: text,
  duration: number,
  bytes: v.number(),
  hash: v.nullish(v.pipe(v.string(), v.regex(/^[0-9a-f]{64}$/)), null),
  tags: v.nullish(v.looseObject({}), null),
  analysis: text,
});
const ManifestSchema = v.looseObject({ fingerprint: v.string(), tracks: v.array(DemoTrackSchema) });

export type DemoTrack = v.InferOutput<typeof DemoTrackSchema>;
export type DemoManifest = v.InferOutput<typeof ManifestSchema>;
export type DemoSetting = NonNullable<Settings['demo']>;

export type Fetch = (url: string) => Promise<Response>;

/** The manifest, or null where no demo set is served. */
export async function fetchManifest(fetch: Fetch, base: string): Promise<DemoManifest | null> {
  try {
    const response = await fetch(`${base}manifest.json`);
    // A server may answer a missing file with the page itself, so the content decides, not the status alone.
    return response.ok ? v.parse(ManifestSchema, await response.json()) : null;
  } catch {
    return null;
  }
}

export interface DemoPlan {
  /** Tracks to put in. */
  install: DemoTrack[];
  /** Older renderings of the same demo tracks: they leave when the new one is in. */
  replaced: TrackRecord[];
  /** What to note when the plan is carried out. */
  setting: DemoSetting;
}

/**
 * What is to be done about the demo set at start: all of it the first time; after a new rendering the new
 * version of what is still there and what was never offered; never what the person took out.
 * @param present demo tracks in the library
 * @param edited ids of tracks that carry the person's own work: these are not replaced
 */
export function planDemo(
  manifest: DemoManifest,
  setting: Settings['demo'],
  present: readonly TrackRecord[],
  edited: ReadonlySet<string>,
): DemoPlan | null {
  if (setting?.state === 'removed' || setting?.fingerprint === manifest.fingerprint) return null;
  const seen = new Set(setting?.seen);
  const plan: DemoPlan = {
    install: [],
    replaced: [],
    setting: {
      state: 'shown',
      fingerprint: manifest.fingerprint,
      seen: [...new Set([...seen, ...manifest.tracks.map((t) => t.id)])],
    },
  };
  for (const track of manifest.tracks) {
    const old = present.filter((t) => t.demo?.id === track.id);
    if (seen.has(track.id) && !old.some((t) => t.removedAt === null)) continue;
    plan.install.push(track);
    plan.replaced.push(...old.filter((t) => t.id !== track.hash && !edited.has(t.id)));
  }
  return plan;
}

/** A demo track that is ready, or one that still has to go through the analysis. */
export type DemoDelivery =
  | { kind: 'ready'; track: TrackRecord; analysis: TrackAnalysis }
  | { kind: 'to-analyse'; demo: DemoSource; file: Blob; name: string }
  | { kind: 'fault'; sentence: string };

/** Fetches what a demo track needs: its finished analysis, else its audio for the queue. Never throws. */
export async function fetchDemoTrack(
  fetch: Fetch,
  base: string,
  track: DemoTrack,
  now: number,
): Promise<DemoDelivery> {
  const demo = { id: track.id, url: base + encodeURIComponent(track.file) };
  try {
    if (track.hash && track.analysis) {
      const response = await get(fetch, base + encodeURIComponent(track.analysis));
      const analysis = decodeAnalysis(new Uint8Array(await response.arrayBuffer()));
      const file = { id: track.hash, name: track.file, size: track.bytes, demo };
      return { kind: 'ready', track: newTrack(file, demoTags(track), analysis, now), analysis };
    }
    return { kind: 'to-analyse', demo, file: await (await get(fetch, demo.url)).blob(), name: track.file };
  } catch (error) {
    return { kind: 'fault', sentence: SENTENCES.demoBroken(track.title, reason(error)) };
  }
}

async function get(fetch: Fetch, url: string): Promise<Response> {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`status ${response.status}`);
  return response;
}

/** The manifest's tags, completed from its own title, artist and genre. */
function demoTags(track: DemoTrack): StoredTags {
  const none = { album: null, year: null, comment: null, key: null, bpm: null, isrc: null };
  const tags = track.tags as Partial<StoredTags> | null;
  return { ...none, ...tags, title: track.title, artist: track.artist, genre: tags?.genre ?? track.genre };
}
