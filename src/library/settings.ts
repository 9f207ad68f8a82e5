/** The person's settings: one record per key, each checked by its own schema when read. */
import * as v from 'valibot';
import { PaletteSchema, WAVEFORM_KINDS } from '../../shared/profile/schema.ts';
import type { LibraryDb } from './schema.ts';
import { SENTENCES } from './sentences.ts';
import { writing } from './transaction.ts';

/** One rung of the ladder. */
export const RungSchema = v.object({
  /** Names the rung, so that the same profile can stand on the ladder twice. */
  id: v.string(),
  profileId: v.string(),
  /** The waveform kind chosen among the profile's, else its best. */
  kind: v.optional(v.picklist(WAVEFORM_KINDS)),
  /** Index into the profile's zoom stops, else the one nearest to the ladder's zoom. */
  zoomStop: v.optional(v.pipe(v.number(), v.integer(), v.minValue(0))),
});
export type Rung = v.InferOutput<typeof RungSchema>;

const unit = v.pipe(v.number(), v.minValue(0), v.maxValue(1));
const nullable = <const S extends v.GenericSchema>(schema: S) => v.nullable(schema);

/** Low on purpose: headphones may be on when the page first plays. */
export const FIRST_VOLUME = 0.25;
/** A click has a sharp edge: half of the track's own level is plenty. */
export const FIRST_CLICK_LEVEL = 0.5;

/** No more are recorded beyond these; a restored backup may bring more, which are kept. */
export const MAX_PERFORMANCES = 100;
/** As `shared/behaviour/what-if/performance.ts` has it; what a press of another version means is asked on replay. */
const PerformanceSchema = v.object({
  id: v.string(),
  /** ms since 1970 */
  at: v.number(),
  /** Name of the kind of deck, and the deck as it was then. */
  profile: v.looseObject({ id: v.string(), name: v.string() }),
  performance: v.looseObject({
    track: v.looseObject({ id: v.string(), name: v.string(), duration: v.number() }),
    moves: v.array(v.object({ time: v.number(), press: v.looseObject({ kind: v.string() }) })),
    position: v.number(),
    playing: v.boolean(),
  }),
});

const SCHEMAS = {
  theme: v.picklist(['booth', 'paper']),
  /** Linear gain of the player, 0..1. */
  volume: unit,
  /** Level of the metronome's click against the volume, 0..1. */
  clickLevel: unit,
  /** Hand drills click on the beats that the deck plays. */
  handClicks: v.boolean(),
  /** Richest first; null: the shipped profiles in their own order. */
  rungs: nullable(v.array(RungSchema)),
  /** The scrolling rungs show their overviews too. */
  overviews: v.boolean(),
  /** Ids of two rungs laid edge to edge, or null. */
  compared: nullable(v.tuple([v.string(), v.string()])),
  /** Seconds from the left to the right edge of the ladder; null: the whole track. */
  zoomSpan: nullable(v.pipe(v.number(), v.minValue(0.01), v.maxValue(86_400))),
  /** May audio be kept in this browser? */
  keepAudio: v.picklist(['ask', 'yes', 'no']),
  /** Palettes changed by the person, by profile id. */
  palettes: v.record(v.string(), PaletteSchema),
  /** Which control of a MIDI device presses what, by the device's message. */
  midi: v.record(v.string(), v.object({ deck: v.picklist([0, 1]), control: v.string() })),
  /** What the person's taps came late by, s (negative: early); null: not measured. */
  tapOffset: v.object({ ear: nullable(v.number()), eye: nullable(v.number()) }),
  /** Short mixes recorded on a rehearsal deck, newest first. */
  performances: v.array(PerformanceSchema),
  /** Equal-power fades at the jumps of the rehearsal decks. */
  jumpFades: v.boolean(),
  /** The first steps were shown to their end, or skipped. */
  tourSeen: v.boolean(),
  /** The track shown last. */
  selected: nullable(v.string()),
  /** What became of the demo set; null: never met. */
  demo: nullable(
    v.object({
      state: v.picklist(['shown', 'removed']),
      /** Of the rendering that was put in. */
      fingerprint: v.string(),
      /** Demo ids that were offered once: one that the person removed does not come back by itself. */
      seen: v.array(v.string()),
    }),
  ),
} as const;

export type SettingKey = keyof typeof SCHEMAS;
export type Settings = { [K in SettingKey]: v.InferOutput<(typeof SCHEMAS)[K]> };

/** Settings of a person who has changed nothing. */
export function defaultSettings(): Settings {
  return {
    theme: 'booth',
    volume: FIRST_VOLUME,
    clickLevel: FIRST_CLICK_LEVEL,
    handClicks: true,
    rungs: null,
    overviews: true,
    compared: null,
    zoomSpan: null,
    keepAudio: 'ask',
    palettes: {},
    midi: {},
    tapOffset: { ear: null, eye: null },
    performances: [],
    jumpFades: true,
    tourSeen: false,
    selected: null,
    demo: null,
  };
}

export const SETTING_KEYS = Object.keys(SCHEMAS) as SettingKey[];

/** Checks one value; throws a ValiError when it does not fit its key. */
export function checkSetting<K extends SettingKey>(key: K, value: unknown): Settings[K] {
  return v.parse(SCHEMAS[key], value) as Settings[K];
}

export interface ReadSettings {
  settings: Settings;
  problems: string[];
  /** Stored recordings that cannot be read: written back behind the others, so that they are not lost. */
  unreadable: unknown[];
}

/** Each recording by itself: a broken one, or one whose id came before, costs none of the others. */
function readPerformances(stored: readonly unknown[]): {
  read: Settings['performances'];
  unreadable: unknown[];
} {
  const read = new Map<string, Settings['performances'][number]>();
  const unreadable: unknown[] = [];
  for (const each of stored) {
    const result = v.safeParse(PerformanceSchema, each);
    if (result.success && !read.has(result.output.id)) read.set(result.output.id, result.output);
    else unreadable.push(each);
  }
  return { read: [...read.values()], unreadable };
}

/**
 * All settings, defaults filled in. A stored value that does not fit is reported and left where it is, and
 * keys of other versions are left alone.
 */
export async function readSettings(db: LibraryDb): Promise<ReadSettings> {
  const settings = defaultSettings();
  const problems: string[] = [];
  let unreadable: unknown[] = [];
  const stored = new Map((await db.getAll('settings')).map((record) => [record.key, record.value]));
  const take = <K extends SettingKey>(key: K) => {
    if (!stored.has(key)) return;
    const result = v.safeParse(SCHEMAS[key], stored.get(key));
    if (result.success) settings[key] = result.output as Settings[K];
    else problems.push(SENTENCES.settingUnreadable(key));
  };
  const performances = stored.get('performances');
  if (Array.isArray(performances)) {
    const found = readPerformances(performances);
    settings.performances = found.read;
    unreadable = found.unreadable;
    if (unreadable.length) problems.push(SENTENCES.recordingsUnreadable(unreadable.length));
    stored.delete('performances');
  }
  SETTING_KEYS.forEach(take);
  return { settings, problems, unreadable };
}

/** Writes some settings in one transaction, which begins synchronously. */
export async function writeSettings(
  db: LibraryDb,
  values: ReadonlyMap<string, unknown>,
  now: number,
): Promise<void> {
  await writing(db, ['settings'], async (transaction) => {
    // All requests at once: nothing but the first turn is certain when the page is closing. One that fails
    // aborts the transaction, which tells it.
    for (const [key, value] of values) {
      transaction.store.put({ key, value, savedAt: now }).catch(() => {});
    }
  });
}
