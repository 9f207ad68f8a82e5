/**
 * What a track is on each deck of a booth: small plain data, made from the track with its pyramid once and kept, so
 * that a long set need not be in memory at once.
 */
import type { DeckProfile } from '../../profile/schema.ts';
import type { Pyramid } from '../../pyramid.ts';
import { contextFor, type JudgedTrack, type RuleContext } from '../../survival/context.ts';
import { type InvisibleChange, invisibleChanges } from '../../survival/invisible.ts';
import { cueInstead, roomForMark, standsAt } from '../../survival/rules/place.ts';
import { RULES, rulesByKind } from '../../survival/rules/rules.ts';
import type { Remedy, Verdict } from '../../survival/verdict.ts';
import { verdictOf } from '../../survival/verdicts.ts';
import type { SetEntry, SetTrack } from '../types.ts';

/** How a place of the track is found on a deck; `untold`: there was no picture to judge. */
export type Readable = 'end-of-track' | 'marked' | 'seen' | 'unreadable' | 'untold';

export interface PlaceOnDeck {
  readable: Readable;
  /** What would mark it there; null where it is readable, or the deck has no room. */
  remedy: Remedy | null;
}

export interface TrackOnDeck {
  profileId: string;
  /** In the order of the track's markers; without the rule `change-unseen`, of which `unseen` tells. */
  verdicts: Verdict[];
  /** Changes of section that the richest deck shows and this one does not; empty without a pyramid. */
  unseen: InvisibleChange[];
  /** Nothing of the track's own is fired or shown here: no cue in reach, no stored mark. */
  unmarked: boolean;
  /** By time, s: the mix points of the track's entries. */
  places: ReadonlyMap<number, PlaceOnDeck>;
}

/** A track without its pyramid: what may be kept of a long set. */
export type LightTrack = Omit<SetTrack, 'pyramid'>;

export interface TrackCheck {
  track: LightTrack;
  /** False: there was no pyramid, so nothing was said about what can be seen. */
  picture: boolean;
  /** By id of the profile. */
  decks: ReadonlyMap<string, TrackOnDeck>;
}

/** What does not hang on the entries; kept with the track, the deck and the richest deck. */
interface Judged {
  verdicts: Verdict[];
  unseen: InvisibleChange[];
  context: RuleContext;
}
const kept = new WeakMap<SetTrack, WeakMap<DeckProfile, WeakMap<DeckProfile, Judged>>>();

/** No picture: every display stays empty. */
const emptyPyramid = (duration: number): Pyramid => ({ duration, levels: [] });

/**
 * Judges a track on decks.
 * @param entries the entries of the set that play it: their mix points are looked up
 * @param profiles the booth's decks, each once
 * @param richest the richest profile at hand: what it shows is what there is to be seen
 */
export function checkTrack(
  track: SetTrack,
  entries: readonly Pick<SetEntry, 'mixIn' | 'mixOut'>[],
  profiles: readonly DeckProfile[],
  richest: DeckProfile,
): TrackCheck {
  const { pyramid, ...light } = track;
  const times = entries.flatMap(({ mixIn, mixOut }) => [mixIn, mixOut]).filter((time) => time !== null);
  const decks = profiles.map((profile): [string, TrackOnDeck] => {
    const { verdicts, unseen, context } = judge(track, profile, richest);
    return [
      profile.id,
      {
        profileId: profile.id,
        verdicts,
        unseen,
        unmarked: !context.reachable.length && !context.shownMarks.size,
        places: new Map(times.map((time) => [time, placeOn(context, time, pyramid !== null)])),
      },
    ];
  });
  return { track: light, picture: pyramid !== null, decks: new Map(decks) };
}

function judge(track: SetTrack, profile: DeckProfile, richest: DeckProfile): Judged {
  let byDeck = kept.get(track);
  if (!byDeck) kept.set(track, (byDeck = new WeakMap()));
  let byRichest = byDeck.get(profile);
  if (!byRichest) byDeck.set(profile, (byRichest = new WeakMap()));
  let judged = byRichest.get(richest);
  if (judged) return judged;
  const { grid, duration, source, sections, markers, pyramid } = track;
  const analysis: JudgedTrack = {
    pyramid: pyramid ?? emptyPyramid(duration),
    grid,
    duration,
    source,
    sections,
  };
  const context = contextFor(markers, analysis, profile);
  judged = {
    verdicts: markers.map((marker) => verdictOf(marker, context, BESIDE_SIGHT[marker.kind])),
    unseen: pyramid ? invisibleChanges(analysis, profile, richest, markers) : [],
    context,
  };
  byRichest.set(richest, judged);
  return judged;
}

/** All rules but the one that looks at the picture: `unseen` tells of that, and each picture takes time to make. */
const BESIDE_SIGHT = rulesByKind(RULES.filter(({ key }) => key !== 'change-unseen'));

/**
 * Near its first or last bar a track is found by loading it, or by seeing it end; elsewhere by a cue in reach or a
 * mark that is shown within a beat, or by a change of the picture.
 */
function placeOn(context: RuleContext, time: number, picture: boolean): PlaceOnDeck {
  const { grid, duration } = context.analysis;
  const bar = (context.beatSeconds(time) ?? 0.5) * grid.beatsPerBar;
  if (time <= bar || time >= duration - bar) return { readable: 'end-of-track', remedy: null };
  const { reachable, marksByRank, shownMarks } = context;
  const shown = [...reachable, ...marksByRank.filter(({ id }) => shownMarks.has(id))];
  if (shown.some((marker) => standsAt(context, marker, time))) return { readable: 'marked', remedy: null };
  const remedy: Remedy | null = roomForMark(context)
    ? { action: 'add-mark', time, name: '' }
    : cueInstead(context, time, '');
  if (!picture) return { readable: 'untold', remedy };
  return context.sight.sees(time) ? { readable: 'seen', remedy: null } : { readable: 'unreadable', remedy };
}
