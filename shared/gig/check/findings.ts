/**
 * The readiness check: what of a set will not work in a booth, sorted by what would hurt most. Any deck may get any
 * track, so the worst deck decides, and each finding names the decks on which it is so.
 */
import type { DeckProfile } from '../../profile/schema.ts';
import type { Marker } from '../../markers/marker.ts';
import { labelOf } from '../../survival/rules/rule.ts';
import type { ReasonKey } from '../../survival/words.ts';
import type { Booth, GigSet, SetEntry, SetTrack } from '../types.ts';
import { type BoothDecks, decksOf, poorestFirst } from './decks.ts';
import { type MoveFault, moveFault, type MoveFaultKey } from './features.ts';
import { type Finding, type FindingDetail, type GigRemedy, reasonWeight, weightOf } from './finding.ts';
import { aboutTrack, Gathering } from './gather.ts';
import { fileFaults, reportGrid, reportLoading, reportPartial } from './of-file.ts';
import { reportNames } from './of-list.ts';
import { checkTrack, type TrackCheck, type TrackOnDeck } from './track-check.ts';

/** Every track of the set checked on the decks of the booth, by the track's id. */
export function checkTracks(
  set: GigSet,
  tracks: readonly SetTrack[],
  booth: Booth,
  profiles: readonly DeckProfile[],
): Map<string, TrackCheck> {
  const here = decksOf(booth, profiles).profiles;
  const richest = richestOf(profiles);
  const byTrack = new Map<string, SetEntry[]>();
  for (const entry of set.entries) {
    if (entry.trackId === null) continue;
    const same = byTrack.get(entry.trackId);
    if (same) same.push(entry);
    else byTrack.set(entry.trackId, [entry]);
  }
  const checks = new Map<string, TrackCheck>();
  for (const track of tracks) {
    const entries = byTrack.get(track.id);
    if (entries && richest) checks.set(track.id, checkTrack(track, entries, here, richest));
  }
  return checks;
}

/** The richest profile at hand, or null where there is none. */
export const richestOf = (profiles: readonly DeckProfile[]): DeckProfile | null =>
  poorestFirst(profiles).at(-1) ?? null;

/** The whole check at once; a long set is better checked track by track (`checkTrack`, then `findingsOf`). */
export function findings(
  set: GigSet,
  tracks: readonly SetTrack[],
  booth: Booth,
  profiles: readonly DeckProfile[],
): Finding[] {
  return findingsOf(set, checkTracks(set, tracks, booth, profiles), booth, profiles);
}

/** @param checks by the track's id; an entry without one counts as not in the library */
export function findingsOf(
  set: GigSet,
  checks: ReadonlyMap<string, TrackCheck>,
  booth: Booth,
  profiles: readonly DeckProfile[],
): Finding[] {
  const here = decksOf(booth, profiles);
  const found = new Gathering();
  for (const id of here.missing) {
    const detail: FindingDetail = {
      entryId: '',
      markerId: null,
      time: null,
      move: null,
      name: id,
      params: {},
      remedies: [],
    };
    found.report({
      key: 'deck-unknown',
      group: id,
      weight: weightOf('deck-unknown'),
      profile: null,
      detail,
      remedies: [{ action: 'answer-questions' }],
    });
  }
  for (const entry of set.entries) {
    const check = entry.trackId === null ? undefined : checks.get(entry.trackId);
    if (!check) reportMissing(found, entry);
    else reportEntry(found, entry, check, here);
  }
  reportNames(found, set.entries, checks, here.profiles);
  return found.findings(new Map(set.entries.map(({ id }, i) => [id, i])));
}

function reportMissing(found: Gathering, entry: SetEntry): void {
  found.report({
    key: 'not-in-library',
    group: entry.id,
    weight: weightOf('not-in-library'),
    profile: null,
    detail: aboutTrack(entry),
    remedies: [{ action: 'add-file' }],
  });
}

function reportEntry(found: Gathering, entry: SetEntry, check: TrackCheck, booth: BoothDecks): void {
  reportPartial(found, entry, check);
  for (const profile of booth.profiles) {
    const onDeck = check.decks.get(profile.id);
    if (!onDeck) continue;
    const faults = fileFaults(found, entry, check, profile);
    // Where the file does not load, nothing else about it matters on that deck.
    if (faults) continue;
    reportGrid(found, entry, check, profile);
    reportLoading(found, entry, check, profile);
    reportMarkers(found, entry, check, onDeck, profile);
    reportSight(found, entry, check, onDeck, profile);
    reportMoves(found, entry, check, profile, booth);
  }
}

const planned = ({ moves }: SetEntry, marker: Marker): boolean =>
  moves.some((move) => 'markerId' in move && move.markerId === marker.id);

const SLOT_REASONS: readonly string[] = ['slot-beyond', 'no-slot-yet'];

function reportMarkers(
  found: Gathering,
  entry: SetEntry,
  { track }: TrackCheck,
  { verdicts }: TrackOnDeck,
  profile: DeckProfile,
): void {
  for (const [i, marker] of track.markers.entries()) {
    for (const { key, outcome, params, remedies } of verdicts[i].reasons) {
      found.report({
        key: key as ReasonKey,
        // What is only weakened is one habit to know for the whole set.
        group: outcome === 'lost' ? entry.id : '',
        weight: reasonWeight(key, outcome, marker.kind, marker.importance, planned(entry, marker)),
        profile,
        detail: {
          entryId: entry.id,
          markerId: marker.id,
          time: marker.time,
          move: null,
          name: labelOf(marker),
          params,
          remedies,
        },
        remedies: SLOT_REASONS.includes(key) ? [{ action: 'plan-slots' }] : [],
      });
    }
  }
}

function reportSight(
  found: Gathering,
  entry: SetEntry,
  { track }: TrackCheck,
  onDeck: TrackOnDeck,
  profile: DeckProfile,
): void {
  for (const { time, label, proposal } of onDeck.unseen) {
    found.report({
      key: 'changes-unseen',
      group: entry.id,
      weight: weightOf('changes-unseen'),
      profile,
      detail: { ...aboutTrack(entry), time, name: label, remedies: [proposal] },
      remedies: [{ action: 'mark-sections' }],
    });
  }
  const changes = track.sections.filter(({ startTime }) => startTime > 0).length;
  if (!profile.waveform.scrolling && onDeck.unmarked && changes) {
    found.report({
      key: 'nothing-marked',
      group: entry.id,
      weight: weightOf('nothing-marked'),
      profile,
      detail: aboutTrack(entry, { changes }),
      // Slots can be planned only where there are cues.
      remedies: [
        { action: 'mark-sections' },
        ...(track.markers.some(({ kind }) => kind === 'cue') ? [{ action: 'plan-slots' } as const] : []),
      ],
    });
  }
  for (const [key, time] of [
    ['mix-in-unreadable', entry.mixIn],
    ['mix-out-unreadable', entry.mixOut],
  ] as const) {
    const place = time === null ? undefined : onDeck.places.get(time);
    if (place?.readable !== 'unreadable') continue;
    const advice = { action: 'gig-advice', key: 'play-by-ear' } as const;
    const remedies = place.remedy ? [place.remedy, advice] : [advice];
    found.report({
      key,
      group: entry.id,
      weight: weightOf(key),
      profile,
      detail: { ...aboutTrack(entry), time, remedies },
      remedies,
    });
  }
}

function moveRemedies({ key, outcome }: MoveFault): GigRemedy[] {
  const dropped: GigRemedy = { action: 'drop-move' };
  if (key.startsWith('no-grid')) return [{ action: 'check-grid' }, dropped];
  if (OF_TRACK.includes(key)) return [dropped, { action: 'open-track' }];
  if (outcome === 'weakened') return [{ action: 'gig-advice', key: 'practise' }];
  if (key === 'tempo-range') return [dropped, { action: 'gig-advice', key: 'widen-plan' }];
  if (key === 'not-linked') return [{ action: 'gig-advice', key: 'ask-linked' }, dropped];
  return [dropped, { action: 'gig-advice', key: 'plan-without' }];
}

/** Habits that a deck has no button for: once for the whole set; what hangs on the track, once for the track. */
const OF_TRACK: readonly MoveFaultKey[] = [
  'cue-gone',
  'loop-gone',
  'no-grid-for-loop',
  'no-grid-for-jump',
  'no-grid-to-follow',
  'cues-overwritten',
];

function reportMoves(
  found: Gathering,
  entry: SetEntry,
  check: TrackCheck,
  profile: DeckProfile,
  booth: BoothDecks,
): void {
  for (const move of entry.moves) {
    const fault = moveFault(move, { check, profile, booth });
    if (!fault) continue;
    const ofTrack = OF_TRACK.includes(fault.key);
    found.report({
      key: fault.key,
      group: ofTrack ? entry.id : '',
      weight: weightOf(fault.key),
      profile,
      detail: {
        ...aboutTrack(entry, fault.params),
        markerId: 'markerId' in move ? move.markerId : null,
        time: 'time' in move ? move.time : null,
        move,
        remedies: fault.remedies,
      },
      remedies: moveRemedies(fault),
    });
  }
}
