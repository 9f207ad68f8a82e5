/** Items from tracks and decks: which can be asked at all, and each made anew from its key and seed. */
import type { DeckProfile } from '../profile/schema.ts';
import { DRILLS } from './kinds/index.ts';
import type { Context, Drill, Place } from './kinds/kind.ts';
import { newSeed, pick, seeded } from './random.ts';
import { doubtsOf, isUnfit } from './sureness.ts';
import {
  DRILL_KINDS,
  type DrillItem,
  type DrillKind,
  type DrillTrack,
  type ItemKey,
  type KeySection,
  type PlannedItem,
  type Random,
} from './types.ts';

/** Places that are tried before an item is given up. */
const TRIES = 8;

/** What can be asked: one per deck, drill and kind of section. */
export interface AvailableKey {
  key: ItemKey;
  deckId: string;
  drill: DrillKind;
  section: KeySection;
  /** The same can be asked on the richest display. */
  baseline: boolean;
  sound: Drill['sound'];
}

export const keyOf = (deckId: string, drill: DrillKind, section: KeySection): ItemKey =>
  `${deckId}/${drill}/${section}`;

/** The parts of a key. Ids of decks have no slash. */
export function partsOf(key: ItemKey): { deckId: string; drill: DrillKind; section: KeySection } {
  const [deckId, drill, section] = key.split('/');
  return { deckId, drill: drill as DrillKind, section: section as KeySection };
}

/** The richest of the decks. @throws RangeError when there is none */
export function richestOf(profiles: readonly DeckProfile[]): DeckProfile {
  if (!profiles.length) throw new RangeError('Drills need at least one deck.');
  return profiles.reduce((a, b) => (b.richness > a.richness ? b : a));
}

/** Tracks that are sure enough for a kind of drill. */
export function tracksFor(drill: DrillKind, tracks: readonly DrillTrack[]): DrillTrack[] {
  return tracks.filter((track) => {
    if (isUnfit(track)) return false;
    const doubts = doubtsOf(track);
    return !DRILLS[drill].doubts.some((doubt) => doubts.includes(doubt));
  });
}

const keySectionOf = ({ section, keySection }: Place): KeySection => keySection ?? section;

function placesFor(drill: Drill, deck: DeckProfile, rich: DeckProfile, tracks: readonly DrillTrack[]) {
  if (!drill.canAsk(deck, rich)) return [];
  return tracks.flatMap((track) => drill.places(track, deck, tracks));
}

/**
 * Everything that these tracks and decks can be asked about. Its cost grows with the tracks: a sample of a large
 * library is enough.
 */
export function availableKeys(
  tracks: readonly DrillTrack[],
  profiles: readonly DeckProfile[],
): AvailableKey[] {
  const rich = richestOf(profiles);
  const keys = new Map<ItemKey, AvailableKey>();
  for (const kind of DRILL_KINDS) {
    const drill = DRILLS[kind];
    const sure = tracksFor(kind, tracks);
    for (const deck of profiles) {
      for (const place of placesFor(drill, deck, rich, sure)) {
        const section = keySectionOf(place);
        const key = keyOf(deck.id, kind, section);
        const baseline = drill.baseline && deck.id !== rich.id && drill.canAsk(rich, rich);
        keys.set(key, { key, deckId: deck.id, drill: kind, section, baseline, sound: drill.sound });
      }
    }
  }
  return [...keys.values()];
}

/**
 * The item of a place in a session: the same seed, tracks and decks give the same item.
 * @returns null when nothing of this kind can be asked (any more)
 */
export function itemFor(
  planned: Pick<PlannedItem, 'key' | 'seed' | 'baseline' | 'withSound'>,
  tracks: readonly DrillTrack[],
  profiles: readonly DeckProfile[],
): DrillItem | null {
  const { deckId, drill: kind, section } = partsOf(planned.key);
  const deck = profiles.find((profile) => profile.id === deckId);
  const drill: Drill | undefined = DRILLS[kind];
  if (!deck || !drill) return null;
  const rich = richestOf(profiles);
  if (planned.baseline && (!drill.baseline || deck.id === rich.id)) return null;
  const sure = tracksFor(kind, tracks);
  const random = seeded(planned.seed);
  const context: Context = { deck, shownOn: planned.baseline ? rich : deck, rich, tracks: sure, random };
  let places = placesFor(drill, deck, rich, sure).filter((place) => keySectionOf(place) === section);
  for (let i = 0; i < TRIES && places.length; i++) {
    const place = drawn(places, random);
    const made = drill.make(place, context);
    if (made) {
      return {
        id: `${planned.key}/${planned.seed}${planned.baseline ? '/baseline' : ''}`,
        key: planned.key,
        drill: kind,
        section: place.section,
        deckId,
        shownDeckId: context.shownOn.id,
        baseline: planned.baseline,
        ...made,
        sound: drill.sound === 'always' || planned.withSound ? made.sound : null,
      };
    }
    places = places.filter((other) => other !== place);
  }
  return null;
}

/** A group first, then a track, then a place: neither an answer nor a long track is likelier than another. */
function drawn(places: readonly Place[], random: Random): Place {
  const group = pick(random, [...new Set(places.map((place) => place.group))]);
  const inGroup = places.filter((place) => place.group === group);
  const track = pick(random, [...new Set(inGroup.map((place) => place.track))]);
  return pick(
    random,
    inGroup.filter((place) => place.track === track),
  ) as Place;
}

export interface MakeOptions {
  /** Only these kinds; missing: all. */
  drills?: readonly DrillKind[];
  /** Only these decks are trained, by id (the richest of all is still the baseline); missing: all. */
  deckIds?: readonly string[];
  /** Items per key; 1 where missing. */
  perKey?: number;
  withSound?: boolean;
  /** Make each on the richest display too. */
  baselines?: boolean;
}

/** Items of every key that can be asked, for lists and tests; a session makes its items one by one (`itemFor`). */
export function makeItems(
  tracks: readonly DrillTrack[],
  profiles: readonly DeckProfile[],
  options: MakeOptions,
  random: Random,
): DrillItem[] {
  const { drills, deckIds, perKey = 1, withSound = false, baselines = false } = options;
  return availableKeys(tracks, profiles)
    .filter(({ drill, deckId }) => (drills?.includes(drill) ?? true) && (deckIds?.includes(deckId) ?? true))
    .flatMap(({ key, baseline }) =>
      Array.from({ length: perKey }, () => newSeed(random)).flatMap((seed) =>
        (baselines && baseline ? [false, true] : [false]).flatMap(
          (onRich) => itemFor({ key, seed, baseline: onRich, withSound }, tracks, profiles) ?? [],
        ),
      ),
    );
}
