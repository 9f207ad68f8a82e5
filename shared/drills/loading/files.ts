/** Does this file load there? Answered by the rules that the check of a set goes by. */
import type { SourceFormat } from '../../analysis.ts';
import { fileReasons, loadsSlowly } from '../../gig/check/of-file.ts';
import type { DeckProfile } from '../../profile/schema.ts';
import { PRACTICE_TITLES } from '../../behaviour/drills/list-drill.ts';
import { pick } from '../random.ts';
import type { Random } from '../types.ts';
import {
  type FileCard,
  LOAD_ANSWERS,
  type ListedTrack,
  type LoadAnswer,
  type Loading,
  type LoadingExplanation,
  type LoadingShown,
  PRACTICE_ID,
} from './types.ts';
import { loadingSentences } from './words.ts';

/** What becomes of a file on a deck. That a disc with files is read as a drive is, is an estimate. */
export function loadingOf({ source, carrier, baggage }: FileCard, deck: DeckProfile): Loading {
  const reasons = fileReasons({ source }, deck);
  const noSlot = carrier === 'disc' && !deck.media.discSlot;
  if (reasons.length || noSlot) return { answer: 'refused', reasons, noSlot };
  const slow = baggage !== null && loadsSlowly({ comment: 0, ...baggage }, deck);
  return { answer: slow ? 'slowly' : 'loads', reasons, noSlot };
}

/** Container, codec, and where the format has them bits per sample or kilobits per second: forms that tracks are sold in. */
const FORMS: [container: string, codec: string, kilobits: number | null, rates: number[], bits: number[]][] =
  [
    ['mp3', 'mp3', 320, [44_100, 48_000], []],
    ['m4a', 'aac', 256, [44_100, 48_000], []],
    ['wav', 'pcm', null, [44_100, 48_000, 96_000, 192_000], [16, 24]],
    ['wav', 'float', null, [48_000, 96_000], [32]],
    ['aiff', 'pcm', null, [44_100, 96_000], [16, 24]],
    ['flac', 'flac', null, [44_100, 96_000, 192_000], [16, 24]],
    ['m4a', 'alac', null, [44_100, 96_000], [16, 24]],
    ['ogg', 'vorbis', 256, [44_100], []],
    ['ogg', 'opus', 160, [48_000], []],
  ];

const SOURCES: readonly SourceFormat[] = FORMS.flatMap(([container, codec, kilobits, rates, bits]) =>
  rates.flatMap((sampleRate) =>
    (bits.length ? bits : [null]).map((bitDepth): SourceFormat => ({
      container,
      codec,
      lossless: kilobits === null,
      sampleRate,
      channels: 2,
      bitDepth,
      bitrate: kilobits === null ? null : kilobits * 1000,
    })),
  ),
);

/** A plain track, and one that carries much besides its sound. */
const LIGHT = { metadataBytes: 40_000, markers: 6 };
const HEAVY = { metadataBytes: 2_400_000, markers: 40 };

const invented: readonly Omit<FileCard, 'title'>[] = SOURCES.flatMap((source) =>
  (['drive', 'disc'] as const).flatMap((carrier) =>
    [LIGHT, HEAVY].map((baggage) => ({ source, carrier, baggage })),
  ),
);

interface Candidate {
  card: FileCard;
  trackId: string;
  answer: LoadAnswer;
  /** What decides it, so that no reason is asked about more often because more files have it. */
  group: string;
}

function candidate(card: FileCard, trackId: string, deck: DeckProfile): Candidate {
  const { answer, reasons, noSlot } = loadingOf(card, deck);
  const [first] = reasons;
  const why = first
    ? [...reasons.map(({ key }) => key), first.params.format ?? ''].join(' ')
    : noSlot
      ? 'no-slot'
      : card.source.codec;
  return { card, trackId, answer, group: why };
}

/** Files of the person's own, as far as what they carry decides nothing, and invented ones. */
function candidates(deck: DeckProfile, own: readonly ListedTrack[], random: Random): Candidate[] {
  const title = pick(random, PRACTICE_TITLES) as string;
  const mine = own.map(({ id, title, source }) =>
    candidate({ title, source, carrier: 'drive', baggage: null }, id, deck),
  );
  return [
    ...invented.map((card) => candidate({ ...card, title }, PRACTICE_ID, deck)),
    ...mine.filter(({ answer }) => answer === 'refused' || !deck.media.slowWithMetadata),
  ];
}

export interface MadeQuestion {
  shown: LoadingShown;
  answers: number;
  index: number;
  trackId: string;
  explanation: LoadingExplanation;
}

/** Every answer that this deck can give is as likely as any other; then every reason for it. */
export function loadsThere(deck: DeckProfile, own: readonly ListedTrack[], random: Random): MadeQuestion {
  const all = candidates(deck, own, random);
  const answer = pick(random, [...new Set(all.map((each) => each.answer))]);
  const answered = all.filter((each) => each.answer === answer);
  const group = pick(random, [...new Set(answered.map((each) => each.group))]);
  const inGroup = answered.filter((each) => each.group === group);
  const mine = inGroup.filter(({ trackId }) => trackId !== PRACTICE_ID);
  const { card, trackId } = pick(random, mine.length && random() < 0.5 ? mine : inGroup) as Candidate;
  const loading = loadingOf(card, deck);
  return {
    shown: { own: trackId !== PRACTICE_ID, drill: 'loads-there', card },
    answers: LOAD_ANSWERS.length,
    index: LOAD_ANSWERS.indexOf(loading.answer),
    trackId,
    explanation: { sentences: loadingSentences(card, loading, deck), rows: null },
  };
}
