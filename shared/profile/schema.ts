/**
 * What a deck generation shows and can do, as data. One profile is one JSON file; every fact in it is a pair
 * of the value and where it comes from. The types of the app are derived from this schema and from nothing
 * else.
 */
import * as v from 'valibot';

export const PROFILE_FORMAT = 'boothproof-deck-profile';
export const PROFILE_VERSION = 1;

/** Where a value comes from. */
export const PROVENANCES = ['common practice, no source', 'from memory', 'estimate'] as const;
export type Provenance = (typeof PROVENANCES)[number];

/** A value with its provenance, as the file holds it. */
export interface Sourced<T> {
  value: T;
  from: Provenance;
  /** What the provenance does not hold for, or why the value was chosen. */
  note?: string;
}

const sourced = <const S extends v.GenericSchema>(schema: S) =>
  v.strictObject({
    value: schema,
    from: v.picklist(PROVENANCES),
    note: v.optional(v.pipe(v.string(), v.maxLength(300))),
  });

const count = (max: number) => v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(max));
const positive = (max: number) => v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(max));
const seconds = v.pipe(v.number(), v.minValue(0.25), v.maxValue(600));

export const WAVEFORM_KINDS = ['three-band', 'tint', 'single'] as const;
export type WaveformKind = (typeof WAVEFORM_KINDS)[number];

export const PHASE_READOUTS = ['stacked-waveforms', 'bar-beat-ticks', 'four-blocks', 'none'] as const;
export type PhaseReadout = (typeof PHASE_READOUTS)[number];

export const FILE_FORMATS = ['mp3', 'aac', 'wav', 'aiff', 'flac', 'alac', 'vorbis', 'opus'] as const;
export type FileFormat = (typeof FILE_FORMATS)[number];

/** The fact groups of a profile, in the order in which they are read and edited. */
export const FACTS = {
  screen: v.strictObject({
    columns: sourced(positive(4096)),
    rows: sourced(positive(2160)),
    diagonalInches: sourced(v.pipe(v.number(), v.minValue(1), v.maxValue(40))),
    touch: sourced(v.boolean()),
  }),
  list: v.strictObject({
    rows: sourced(positive(60)),
    columns: sourced(positive(20)),
    /** Characters of a title that fit before it is cut. */
    titleCharacters: sourced(positive(200)),
    preview: sourced(v.picklist(['touch', 'none'])),
    trackFilter: sourced(v.boolean()),
    letterStrip: sourced(v.boolean()),
    textSearch: sourced(v.boolean()),
    keyMatch: sourced(v.boolean()),
  }),
  waveform: v.strictObject({
    /** Kinds of scrolling waveform, best first. Empty: this deck has no scrolling waveform. */
    kinds: sourced(v.pipe(v.array(v.picklist(WAVEFORM_KINDS)), v.maxLength(3))),
    scrolling: sourced(v.boolean()),
    /** Seconds visible at each zoom stop, nearest first. Empty where nothing scrolls. */
    zoomSeconds: sourced(v.pipe(v.array(seconds), v.maxLength(12))),
    /** Distinct heights of the scrolling waveform, from middle line to top. */
    heightSteps: sourced(count(512)),
    /** Distinct shades or hues of the scrolling waveform (1: one flat colour). */
    colourSteps: sourced(positive(256)),
    grid: sourced(v.picklist(['beats-and-bars', 'beats', 'none'])),
    gridPlace: sourced(v.picklist(['across', 'edge-marks', 'nowhere'])),
  }),
  overview: v.strictObject({
    columns: sourced(positive(4096)),
    heightSteps: sourced(positive(256)),
    /** What the overview's colour tells: nothing, the share of treble, the band balance, the bands. */
    kind: sourced(v.picklist(['plain', 'single', 'tint', 'three-band'])),
    colourSteps: sourced(positive(256)),
    /** Listening ahead by touching the overview. */
    touchListen: sourced(v.boolean()),
  }),
  phase: v.strictObject({
    readout: sourced(v.picklist(PHASE_READOUTS)),
  }),
  hotCues: v.strictObject({
    slots: sourced(count(16)),
    banks: sourced(positive(4)),
    buttons: sourced(count(16)),
    colours: sourced(v.picklist(['each', 'one'])),
    /** `automatic`: cues come with the track; `by-hand`: each must be loaded, else the old ones fire. */
    recall: sourced(v.picklist(['automatic', 'by-hand'])),
    /** Presses to load three cues by hand (0 where recall is automatic). */
    recallPresses: sourced(count(20)),
  }),
  marks: v.strictObject({
    /** Stored structure marks (memory points kept with the track) are shown on its waveform. */
    shown: sourced(v.boolean()),
    /** Most marks that are shown. */
    limit: sourced(count(200)),
  }),
  quantise: v.strictObject({
    /** Steps in beats that can be chosen; empty: no quantise. */
    steps: sourced(v.pipe(v.array(v.pipe(v.number(), v.minValue(0.03125), v.maxValue(8))), v.maxLength(8))),
    setIn: sourced(v.picklist(['button', 'menu', 'none'])),
  }),
  loops: v.strictObject({
    /** Lengths in beats with a way to set them at once. */
    direct: sourced(v.pipe(v.array(v.pipe(v.number(), v.minValue(0.001), v.maxValue(512))), v.maxLength(20))),
    method: sourced(v.picklist(['buttons', 'short-and-long-press', 'strip', 'halving-press', 'none'])),
    /** With quantise off, a changed length keeps your place or snaps to the loop's start. */
    changeUnquantised: sourced(v.picklist(['keeps-place', 'snaps-to-start', 'unreliable'])),
    shortest: sourced(v.picklist(['1/32 beat', '1/64 beat', 'frame'])),
    unreliableWithQuantise: sourced(v.boolean()),
  }),
  beatJump: v.strictObject({
    where: sourced(v.picklist(['buttons', 'screen', 'none'])),
    lengths: sourced(
      v.pipe(v.array(v.pipe(v.number(), v.minValue(0.03125), v.maxValue(128))), v.maxLength(12)),
    ),
  }),
  playback: v.strictObject({
    sync: sourced(v.boolean()),
    slip: sourced(v.boolean()),
    slipReverse: sourced(v.boolean()),
    instantCopy: sourced(v.boolean()),
    touchStrip: sourced(v.boolean()),
    tempoRangesPercent: sourced(
      v.pipe(v.array(v.pipe(v.number(), v.minValue(1), v.maxValue(100))), v.maxLength(6)),
    ),
  }),
  media: v.strictObject({
    formats: sourced(v.pipe(v.array(v.picklist(FILE_FORMATS)), v.minLength(1))),
    maxSampleRate: sourced(positive(384000)),
    maxBitDepth: sourced(positive(64)),
    discSlot: sourced(v.boolean()),
    /** What happens when the drive is pulled while playing. */
    drivePulled: sourced(v.picklist(['loop-saves-set', 'music-stops'])),
    driveLight: sourced(v.boolean()),
    /** Does a track with much metadata load noticeably slower? */
    slowWithMetadata: sourced(v.boolean()),
  }),
} as const;

/** Colours as CSS `oklch()` strings or hex; ours, editable by the person, never a real device's. */
const colour = v.pipe(
  v.string(),
  v.regex(
    /^(#[0-9a-fA-F]{6}|oklch\(\s*\d*\.?\d+%?\s+\d*\.?\d+\s+\d*\.?\d+\s*\))$/,
    'a colour such as "#c05a2b" or "oklch(0.62 0.14 45)"',
  ),
);

export const PaletteSchema = v.strictObject({
  background: colour,
  /** Colours of the three bands, drawn as bass behind, middle, treble in front. */
  bass: colour,
  middle: colour,
  treble: colour,
  /** Ends of the tint scale: all bass → all treble, by way of the middle. */
  tintLow: colour,
  tintMid: colour,
  tintHigh: colour,
  /** Ends of the single-colour scale: no treble → all treble. */
  singleDark: colour,
  singleLight: colour,
  /** The overview's flat colour. */
  overview: colour,
  grid: colour,
  downbeat: colour,
});
export type Palette = v.InferOutput<typeof PaletteSchema>;

export const ProfileFileSchema = v.strictObject({
  format: v.literal(PROFILE_FORMAT),
  version: v.literal(PROFILE_VERSION),
  id: v.pipe(
    v.string(),
    v.regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'an id of small letters, digits and hyphens'),
    v.maxLength(60),
  ),
  name: v.pipe(v.string(), v.trim(), v.minLength(1), v.maxLength(40)),
  /** Rough era in words. */
  era: v.pipe(v.string(), v.trim(), v.minLength(1), v.maxLength(60)),
  /** One or two sentences for a person who has never met such a deck. */
  description: v.pipe(v.string(), v.trim(), v.maxLength(400)),
  /** Place on the ladder: larger is richer. */
  richness: count(1000),
  facts: v.strictObject(FACTS),
  palette: PaletteSchema,
});

/** A profile as its file holds it: every fact with its provenance. */
export type ProfileFile = v.InferOutput<typeof ProfileFileSchema>;

type Plain<T> = T extends { value: infer V; from: Provenance } ? V : { [K in keyof T]: Plain<T[K]> };

/** A profile with the bare values, which everything but the editor works with. */
export type DeckProfile = Omit<ProfileFile, 'facts' | 'format' | 'version'> & Plain<ProfileFile['facts']>;

/** Strips the provenance: the facts become plain fields of the profile. */
export function plainProfile(file: ProfileFile): DeckProfile {
  const bare = Object.fromEntries(
    Object.entries(file.facts).map(([group, facts]) => [
      group,
      Object.fromEntries(
        Object.entries(facts).map(([name, fact]) => [name, (fact as Sourced<unknown>).value]),
      ),
    ]),
  ) as Plain<ProfileFile['facts']>;
  const { id, name, era, description, richness, palette } = file;
  return { id, name, era, description, richness, palette, ...bare };
}
