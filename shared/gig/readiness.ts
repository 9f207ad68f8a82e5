/** Everything that is told of a set in a booth, from tracks that were checked one by one: no pyramids in it. */
import type { DisplayColumns } from '../display/columns.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { type Card, cardOf, stripOf } from './card/card.ts';
import { decksOf } from './check/decks.ts';
import type { Finding } from './check/finding.ts';
import { findingsOf, richestOf } from './check/findings.ts';
import { type Score, scoreOf } from './check/score.ts';
import { checkTrack, type LightTrack, type TrackCheck } from './check/track-check.ts';
import type { Booth, GigSet, SetTrack } from './types.ts';

export interface Readiness {
  findings: Finding[];
  score: Score;
  card: Card;
  /** Those of the set that were checked. */
  tracks: LightTrack[];
}

/** What is kept of a track once it was looked at: small, whatever its length. */
export interface CheckedTrack {
  check: TrackCheck;
  /** On the booth's poorest deck; null without a picture, or without a deck. */
  strip: DisplayColumns | null;
}

/** Looks at one track of a set in a booth. @returns null where no profile at all is at hand */
export function lookAt(
  track: SetTrack,
  set: GigSet,
  booth: Booth,
  profiles: readonly DeckProfile[],
): CheckedTrack | null {
  const here = decksOf(booth, profiles).profiles;
  const richest = richestOf(profiles);
  if (!richest) return null;
  const entries = set.entries.filter(({ trackId }) => trackId === track.id);
  return {
    check: checkTrack(track, entries, here, richest),
    strip: here.length ? stripOf(track, here[0]) : null,
  };
}

/**
 * Works it out in steps, so that a page can do something else between them.
 * @param looked by the track's id
 */
export function* readinessSteps(
  set: GigSet,
  looked: ReadonlyMap<string, CheckedTrack>,
  booth: Booth,
  profiles: readonly DeckProfile[],
): Generator<void, Readiness, void> {
  const checks = new Map([...looked].map(([id, { check }]) => [id, check]));
  const strips = new Map([...looked].flatMap(([id, { strip }]) => (strip ? [[id, strip]] : [])));
  const findings = findingsOf(set, checks, booth, profiles);
  yield;
  const score = scoreOf(set, checks, booth, profiles);
  yield;
  const card = cardOf(set, checks, strips, booth, profiles, findings);
  return { findings, score, card, tracks: [...checks.values()].map(({ track }) => track) };
}

/** The same at once. */
export function readinessOf(...args: Parameters<typeof readinessSteps>): Readiness {
  const steps = readinessSteps(...args);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}
