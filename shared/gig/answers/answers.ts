/** From answers about an unknown deck to a profile: the nearest one that is known, with the answers put into it. */
import { duplicateProfile } from '../../profile/duplicate.ts';
import { checkProfile } from '../../profile/read.ts';
import { type DeckProfile, plainProfile, type ProfileFile } from '../../profile/schema.ts';
import { problemSentence } from '../../profile/sentences.ts';
import { GigFault } from '../types.ts';
import { type Changes, changesFor, settle } from './apply.ts';
import type { DeckAnswers, QuestionId } from './questions.ts';

export interface FoundDeck {
  /** Of the deck that fits: `file.id` where one was made, else that of the nearest. */
  profileId: string;
  nearestId: string;
  /** 0: every answer is as on the nearest deck; else the sum over the answers that differ. */
  distance: number;
  /** A new profile to be saved, or null where a known one fits as it is. */
  file: ProfileFile | null;
  /** Facts of it that differ from the nearest deck, `group.name`. */
  changed: string[];
}

/**
 * How much an answer counts for being another deck: what is seen and reached most tells the generation of a deck.
 * Estimates; a number that is half or double counts as a whole difference.
 */
const WEIGHTS: Record<QuestionId, number> = {
  waveformScrolls: 6,
  touchScreen: 5,
  cuePads: 4,
  cuesComeAlong: 4,
  loopButtons: 4,
  waveformColour: 3,
  beatJump: 3,
  sync: 3,
  quantise: 2,
  cueBanks: 2,
  cueColours: 2,
  playsFlac: 2,
  drivePulled: 2,
  textSearch: 2,
  listRows: 1,
};

const answered = (answers: DeckAnswers): [QuestionId, NonNullable<DeckAnswers[QuestionId]>][] =>
  (Object.keys(WEIGHTS) as QuestionId[]).flatMap((id) => {
    const answer = answers[id];
    return answer === null || answer === undefined ? [] : [[id, answer]];
  });

/** What a profile would answer. */
export function answersOf(deck: DeckProfile): Required<DeckAnswers> {
  const { hotCues, waveform, screen, list, loops, beatJump, playback, quantise, media } = deck;
  return {
    cuePads: hotCues.buttons,
    cueBanks: hotCues.banks,
    cueColours: hotCues.colours,
    cuesComeAlong: hotCues.recall === 'automatic',
    waveformScrolls: waveform.scrolling,
    waveformColour: waveform.kinds[0] ?? null,
    touchScreen: screen.touch,
    listRows: list.rows,
    textSearch: list.textSearch,
    loopButtons: loops.method,
    beatJump: beatJump.where,
    sync: playback.sync,
    quantise: quantise.setIn,
    playsFlac: media.formats.includes('flac'),
    drivePulled: media.drivePulled,
  };
}

/** Distance of a deck from the answers: 0 where all that was answered is so; each difference counts by its weight. */
export function distanceOf(answers: DeckAnswers, deck: DeckProfile): number {
  const here = answersOf(deck);
  let sum = 0;
  for (const [id, answer] of answered(answers)) {
    const known = here[id];
    const apart =
      typeof answer === 'number' && typeof known === 'number'
        ? Math.min(1, Math.abs(Math.log2((answer + 1) / (known + 1))))
        : Number(answer !== known);
    sum += WEIGHTS[id] * apart;
  }
  return sum;
}

/**
 * Finds the profile that fits the answers, or makes one from the nearest (of equally near ones the poorer: what one
 * does not know of a deck is better expected to be missing).
 * @param known profiles to choose from, at least one
 * @param existingIds ids that are taken; those of `known` always are
 * @param name of the new profile; null: named as a copy of the nearest
 * @throws GigFault when no profile is known, or an answer is outside its limits
 */
export function deckFromAnswers(
  answers: DeckAnswers,
  known: readonly ProfileFile[],
  existingIds: Iterable<string>,
  name: string | null = null,
): FoundDeck {
  if (!known.length) throw new GigFault('No deck is known to start from: load a profile first.');
  const ranked = known
    .map((file) => ({ file, distance: distanceOf(answers, plainProfile(file)) }))
    .sort((a, b) => a.distance - b.distance || a.file.richness - b.file.richness);
  const [{ file: nearest, distance }] = ranked;
  if (distance === 0)
    return { profileId: nearest.id, nearestId: nearest.id, distance, file: null, changed: [] };

  const file = duplicateProfile(nearest, [...existingIds, ...known.map(({ id }) => id)]);
  if (name?.trim()) file.name = name.trim();
  file.description = `Made from answers about a deck; what was not answered is as on “${nearest.name}”.`;
  const base = plainProfile(nearest);
  const changes = settle(changesFor(answers, base), base, answers);
  const changed = apply(file, changes);
  const checked = checkProfile(file);
  if (!('profile' in checked)) {
    throw new GigFault(problemSentence(checked.problems[0], 'These answers do not fit together'));
  }
  return { profileId: file.id, nearestId: nearest.id, distance, file: checked.profile, changed };
}

function apply(file: ProfileFile, changes: Changes): string[] {
  const facts = file.facts as unknown as Record<string, Record<string, object>>;
  return [...changes].map(([key, { value, note }]) => {
    const [group, fact] = key.split('.');
    facts[group][fact] = { value, from: 'from memory', note };
    return key;
  });
}
