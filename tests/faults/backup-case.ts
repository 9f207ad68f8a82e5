/** One damaged backup: refused with a sentence, or restored to a library that can be used. */
import 'fake-indexeddb/auto';
import { createHash } from 'node:crypto';
import { afterAnswer } from '../../shared/drills/cards.ts';
import { calibration } from '../../shared/drills/calibration.ts';
import { answersCsv, handsCsv } from '../../shared/drills/csv.ts';
import { forecast, forgetting } from '../../shared/drills/forgetting.ts';
import { handPartsOf, handsOn, handsOverTime, handSummaries } from '../../shared/drills/hands.ts';
import { availableKeys, itemFor } from '../../shared/drills/make.ts';
import { baselineOf, bySection, gapToRich, overTime, trainedOn } from '../../shared/drills/progress.ts';
import { openItem, planSession } from '../../shared/drills/session.ts';
import type { DrillTrack } from '../../shared/drills/types.ts';
import { readinessOf } from '../../shared/gig/readiness.ts';
import { overviewColumns, scrollingColumns } from '../../shared/display/model.ts';
import { faultOf } from '../../shared/markers/marker.ts';
import { verdictsFor } from '../../shared/survival/verdicts.ts';
import { BackupFault, carryOut, planImport, readBackup } from '../../src/library/backup.ts';
import { openDatabase } from '../../src/library/database.ts';
import { Disk } from '../../src/library/disk.ts';
import { GigStore } from '../../src/library/gigs.ts';
import { readProfiles } from '../../src/library/profiles.ts';
import { titleOf, type CorrectionStep } from '../../src/library/records.ts';
import type { LibraryDb } from '../../src/library/schema.ts';
import { readSettings } from '../../src/library/settings.ts';
import { gridDoubt } from '../../src/library/sureness.ts';
import { TrainingStore } from '../../src/library/training.ts';
import * as store from '../../src/library/tracks.ts';
import { current, readHistory } from '../../src/mark/history.ts';
import { seeded } from '../fixtures/signal.ts';
import { analysis, freshName, record } from '../library/helpers.ts';
import { answer, booth, round, SESSION, set, train } from '../library/made.ts';
import { shippedDeck, shippedFile } from '../profiles/files.ts';
import { mutateBytes, mutateJson } from './mutate.ts';
import { badSentence } from './sentence.ts';

const NAME = 'night.jsonl';
const DECKS = ['wide-touch', 'overview-only'].map(shippedDeck);
/** The deck that the answers are about, and the richest. */
const DECKS_TRAINED = ['wide-touch', 'small-touch'].map(shippedDeck);
const SECONDS = 120;
/** ms since 1970 */
const NOW = 1_764_000_000_000;

/** A library with corrections, markers, an own profile, settings, a booth, a set, and training with an open session. */
export async function filledLibrary(): Promise<LibraryDb> {
  const db = await openDatabase({ name: freshName() });
  const made = analysis(124, SECONDS);
  const sections = [
    { startTime: 0, endTime: 60, label: 'intro', strength: 1, why: 'The track starts here.', energy: 0.4 },
    {
      startTime: 60,
      endTime: SECONDS,
      label: 'drop',
      strength: 0.8,
      why: 'You set this.',
      energy: 1,
      byHand: true,
    },
  ];
  const steps: CorrectionStep[] = [
    { what: '', grid: null, sections: null, markers: null },
    {
      what: 'Anchor',
      grid: { ...made.grid, anchors: [{ beat: 4, time: 2.2 }], unanchored: made.grid.segments },
      sections,
      markers: [
        { kind: 'cue', id: 'c', time: 20, name: 'In', importance: 3, slot: 2, colour: null },
        { kind: 'loop', id: 'l', time: 40, name: 'Hold', importance: 1, endTime: 42, beats: 4 },
      ],
    },
  ];
  for (const id of ['a', 'b']) {
    const cover = new Blob([Uint8Array.of(1, 2, 3)], { type: 'image/png' });
    await store.saveTrack(db, { track: record(id, { duration: SECONDS }), analysis: made, cover, now: 1 });
  }
  const { what: _what, ...state } = steps[1];
  await store.saveEdit(db, { ...state, id: 'a', history: { steps, at: 1 }, savedAt: 1 });
  await db.put('profiles', { id: 'mine', file: { ...shippedFile('small-touch'), id: 'mine' }, savedAt: 3 });
  await db.put('settings', { key: 'volume', value: 0.4, savedAt: 2 });
  await db.put('settings', { key: 'keepAudio', value: 'yes', savedAt: 2 });
  await db.put(
    'booths',
    booth({ decks: DECKS.map(({ id }) => ({ profileId: id, count: 2, linked: true })) }),
  );
  await db.put('sets', set());
  const answers = Array.from({ length: 12 }, (_, day) => answer(day + 1, { baseline: day % 5 === 4 }));
  await train(db, answers, [round(4), round(6, 5)]);
  await db.put('sessions', { id: 'open', session: SESSION, savedAt: 4 });
  return db;
}

const isBytes = (line: string) => /^\{"store":"(covers|analyses)"/.test(line);

/** The backup with damage in it: most times with a checksum that fits, as a hand or a program would leave it. */
export function damagedBackup(text: string, seed: number): string {
  const random = seeded(seed);
  const utf8 = new TextEncoder();
  if (seed % 5 === 0)
    return new TextDecoder().decode(mutateBytes(utf8.encode(text), utf8.encode(text), seed));
  const lines = text.trimEnd().split('\n').slice(0, -1);
  for (let k = 1 + Math.floor(random() * 2); k > 0; k--) {
    const at = Math.floor(random() * lines.length);
    // Bytes have a checksum of their own inside, and the head is soon no backup's: rarely those.
    if ((isBytes(lines[at]) || at === 0) && random() < 0.8) k++;
    else lines[at] = mutateJson(lines[at], seed + k);
  }
  const body = `${lines.join('\n')}\n`;
  const sha256 = createHash('sha256').update(body).digest('hex');
  return `${body}${JSON.stringify({ end: true, records: lines.length - 1, sha256 })}\n`;
}

/** Reads everything that the app reads, and does with it what the app does. Throws where the app would. */
async function use(db: LibraryDb): Promise<void> {
  const { tracks } = await store.listTracks(db);
  const shown: DrillTrack[] = [];
  for (const track of tracks) {
    titleOf(track).trim();
    gridDoubt(track.summary);
    [track.tags.artist, track.summary.tempo?.toFixed(2), track.summary.key?.name.trim()]
      .filter(Boolean)
      .join(' ');
    const reading = await store.readAnalysis(db, track.id);
    const base = reading.state === 'current' ? reading.analysis : analysis(124, SECONDS);
    const { grid, sections, markers } = current(readHistory(await store.readEdit(db, track.id)));
    const judged = { ...base, grid: grid ?? base.grid, sections: sections ?? base.sections };
    for (const deck of DECKS) {
      const view = { startTime: 0, endTime: judged.duration, zoomStop: 0, maxColumns: 600 };
      scrollingColumns(judged, deck, deck.waveform.kinds[0], view);
      overviewColumns(judged, deck);
      verdictsFor(markers ?? [], judged, deck);
    }
    shown.push({
      id: track.id,
      title: titleOf(track),
      analysis: judged,
      gridByHand: true,
      sectionsByHand: true,
    });
    if (faultOf(markers ?? [])) throw new Error(`Markers that do not fit: ${faultOf(markers ?? [])}`);
  }
  await readProfiles(db);
  await readSettings(db);
  const faults: string[] = [];
  const disk = new Disk({ report: (sentence) => faults.push(sentence), open: async () => db });
  await disk.open();
  await useGigs(new GigStore(disk));
  await useTraining(new TrainingStore(disk), shown);
  if (faults.length) throw new Error(faults.join(' '));
}

/** The check of every set in every booth. */
async function useGigs(gigs: GigStore): Promise<void> {
  const { booths, sets } = await gigs.load();
  for (const gig of sets) for (const here of booths) readinessOf(gig, new Map(), here, DECKS);
}

/** What Train shows of what was answered, the question that is open, and the next session. */
async function useTraining(training: TrainingStore, tracks: readonly DrillTrack[]): Promise<void> {
  const { answers, hands, cards, session } = await training.load();
  answersCsv(answers);
  handsCsv(hands);
  calibration(answers);
  for (const { id } of DECKS_TRAINED) {
    overTime(trainedOn(answers, id), 'bars');
    overTime(baselineOf(answers, id), 'bars');
    gapToRich(answers, id, 'bars');
    bySection(answers, id);
    handSummaries(handsOn(hands, id));
    handsOverTime(handsOn(hands, id));
  }
  forecast(cards, forgetting(answers)?.pace ?? null, NOW);
  const open = session && openItem(session);
  if (open && !handPartsOf(open.key)) itemFor(open, tracks, DECKS_TRAINED);
  const byKey = new Map(cards.map((card) => [card.key, card]));
  const keys = availableKeys(tracks, DECKS_TRAINED);
  const options = { minutes: 5, mode: 'everyday', boothDeckIds: [], sound: true } as const;
  planSession(options, keys, byKey, answers, NOW, seeded(1));
  // The next answer goes on with what was restored.
  for (const [key, card] of byKey) afterAnswer(card, key, answer(1), NOW);
}

/** @param text of the sound backup */
export async function runBackupCase(
  text: string,
  seed: number,
): Promise<{ taken: boolean; wrong: string[] }> {
  const db = await openDatabase({ name: freshName() });
  try {
    const plan = await planImport(db, await readBackup(new Blob([damagedBackup(text, seed)]), NAME));
    await carryOut(db, plan, new Map(plan.conflicts.map((c) => [c.id, c.choices[0]])), 5);
  } catch (error) {
    if (error instanceof BackupFault) {
      const bad = badSentence(error.message, NAME);
      return { taken: false, wrong: bad ? [bad] : [] };
    }
    return { taken: false, wrong: [error instanceof Error ? (error.stack ?? error.message) : String(error)] };
  }
  try {
    await use(db);
    return { taken: true, wrong: [] };
  } catch (error) {
    return { taken: true, wrong: [`in use: ${error instanceof Error ? error.stack : String(error)}`] };
  } finally {
    db.close();
  }
}
