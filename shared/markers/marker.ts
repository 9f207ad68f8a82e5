/**
 * What a person marks on a track: hot cues in numbered slots, structure marks that are kept with the track, and
 * loops. Plain data. Times are in seconds (float64) from the first decoded sample.
 */
import * as v from 'valibot';

/** Slots that a hot cue can have: 1..MAX_SLOT. */
export const MAX_SLOT = 8;
/** Most markers of one track; far more than anyone reads. */
export const MAX_MARKERS = 500;
export const MAX_NAME_LENGTH = 80;

/** How much the set depends on a marker: 3 the set needs it, 2 useful, 1 nice to have. */
export type Importance = 1 | 2 | 3;

const common = {
  /** Unique within its track. */
  id: v.pipe(v.string(), v.minLength(1), v.maxLength(60)),
  /** s from the first decoded sample */
  time: v.pipe(v.number(), v.finite(), v.minValue(0)),
  /** May be empty. */
  name: v.pipe(v.string(), v.maxLength(MAX_NAME_LENGTH)),
  importance: v.picklist([1, 2, 3]),
};

/** A point that a pad or button jumps to. */
export const HotCueSchema = v.strictObject({
  kind: v.literal('cue'),
  ...common,
  /** 1..MAX_SLOT, or null: it has no slot yet. No two cues of a track share a slot. */
  slot: v.nullable(v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(MAX_SLOT))),
  /** The person's colour for it, `#rrggbb` in small letters; null: none chosen. */
  colour: v.nullable(v.pipe(v.string(), v.regex(/^#[0-9a-f]{6}$/, 'a colour such as "#c05a2b"'))),
});

/** A point of the track's structure, shown on the waveform where a deck can; nothing is fired by it. */
export const StructureMarkSchema = v.strictObject({ kind: v.literal('mark'), ...common });

/** A stretch that repeats. */
export const LoopSchema = v.strictObject({
  kind: v.literal('loop'),
  ...common,
  /** s, after `time` */
  endTime: v.pipe(v.number(), v.finite()),
  /** Length in beats where it was set in beats, else null (set by hand, or no grid). */
  beats: v.nullable(v.pipe(v.number(), v.finite(), v.gtValue(0), v.maxValue(4096))),
});

export const MarkerSchema = v.variant('kind', [HotCueSchema, StructureMarkSchema, LoopSchema]);

export type HotCue = v.InferOutput<typeof HotCueSchema>;
export type StructureMark = v.InferOutput<typeof StructureMarkSchema>;
export type Loop = v.InferOutput<typeof LoopSchema>;
export type Marker = HotCue | StructureMark | Loop;
export type MarkerKind = Marker['kind'];

/** A marker edit that cannot be made; `message` is one plain sentence with the remedy. */
export class MarkerFault extends Error {
  override name = 'MarkerFault';
}

/** Order of time; at equal times cues by slot, then loops, then marks, so that the order never wavers. */
export function inOrder<M extends Marker>(markers: readonly M[]): M[] {
  return [...markers].sort(
    (a, b) => a.time - b.time || rankOf(a) - rankOf(b) || (a.id < b.id ? -1 : Number(a.id > b.id)),
  );
}

function rankOf(marker: Marker): number {
  if (marker.kind === 'cue') return marker.slot ?? MAX_SLOT + 1;
  return marker.kind === 'loop' ? 20 : 30;
}

/** The hot cues, in order of time. */
export function cuesOf(markers: readonly Marker[]): HotCue[] {
  return inOrder(markers).filter((m): m is HotCue => m.kind === 'cue');
}

/** The smallest slot that no cue of `markers` has, or null when all are taken. */
export function freeSlot(markers: readonly Marker[]): number | null {
  const taken = new Set(markers.map((m) => (m.kind === 'cue' ? m.slot : null)));
  for (let slot = 1; slot <= MAX_SLOT; slot++) if (!taken.has(slot)) return slot;
  return null;
}

/** What is wrong with markers that each pass their schema: null, or one plain sentence. */
export function faultOf(markers: readonly Marker[]): string | null {
  if (markers.length > MAX_MARKERS) {
    return `A track can have ${MAX_MARKERS} markers at most, and this has ${markers.length}: leave some out.`;
  }
  const ids = new Set<string>();
  const slots = new Set<number>();
  for (const marker of markers) {
    if (ids.has(marker.id)) return `Two markers have the id "${marker.id}": give each its own.`;
    ids.add(marker.id);
    if (marker.kind === 'loop' && marker.endTime <= marker.time) {
      return `The loop "${marker.name}" ends before it begins: set its end after its start.`;
    }
    if (marker.kind !== 'cue' || marker.slot === null) continue;
    if (slots.has(marker.slot)) return `Two cues have slot ${marker.slot}: give each its own slot.`;
    slots.add(marker.slot);
  }
  return null;
}
