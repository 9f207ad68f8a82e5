/** Reads a backup: all of it, checked, or one sentence. */
import { createSHA256 } from 'hash-wasm';
import * as v from 'valibot';
import { faultOf } from '../../shared/markers/marker.ts';
import { BACKUP_FORMAT, misplaced, ownFileIn } from '../../shared/own-files.ts';
import { placeInWords, problemsOf } from '../../shared/profile/sentences.ts';
import {
  BACKUP_VERSION,
  BYTE_STORES,
  BackupFault,
  PLAIN_STORES,
  RECORDS,
  valueOf,
  type ByteStore,
  type PlainStore,
} from './backup-format.ts';
import type { AnswerRecord, CardRecord, HandRecord } from '../../shared/drills/types.ts';
import type { Booth, GigSet } from '../../shared/gig/types.ts';
import type { EditRecord, ProfileRecord, SessionRecord, SettingRecord, TrackRecord } from './records.ts';

/** bytes that are read at once */
const CHUNK_BYTES = 1 << 20;
const LINE_END = 0x0a;
/** bytes of a line that are looked at to tell its store and id */
const LINE_HEAD = 400;
const BYTE_LINE = /^\{"store":"(covers|analyses)","id":"([^"\\]{1,200})"/;

/** Where a line stands in the file. */
interface Place {
  from: number;
  to: number;
}

/** What a backup holds. Covers and analyses are still in the file. */
export interface Backup {
  /** Milliseconds since 1970. */
  writtenAt: number;
  tracks: TrackRecord[];
  edits: EditRecord[];
  profiles: ProfileRecord[];
  settings: SettingRecord[];
  booths: Booth[];
  sets: GigSet[];
  answers: AnswerRecord[];
  /** Rounds of hand drills. */
  hands: HandRecord[];
  cards: CardRecord[];
  /** One, or none. */
  sessions: SessionRecord[];
  covers: ReadonlySet<string>;
  analyses: ReadonlySet<string>;
  /** The line of a cover or an analysis as it was written. */
  line(
    store: ByteStore,
    id: string,
  ): Promise<{ version?: number; type?: string; analysedAt?: number; base64: string }>;
  fileName: string;
}

const Head = v.looseObject({ format: v.literal(BACKUP_FORMAT), version: v.number(), writtenAt: v.number() });
const End = v.looseObject({ end: v.literal(true), records: v.number(), sha256: v.string() });

async function* linesOf(file: Blob): AsyncGenerator<{ bytes: Uint8Array; from: number; ended: boolean }> {
  let rest = new Uint8Array(0);
  let from = 0;
  for (let at = 0; at < file.size; at += CHUNK_BYTES) {
    const fresh = new Uint8Array(await file.slice(at, at + CHUNK_BYTES).arrayBuffer());
    let bytes = fresh;
    if (rest.length > 0) {
      bytes = new Uint8Array(rest.length + fresh.length);
      bytes.set(rest);
      bytes.set(fresh, rest.length);
    }
    let start = 0;
    for (let end; (end = bytes.indexOf(LINE_END, start)) >= 0; start = end + 1) {
      yield { bytes: bytes.subarray(start, end + 1), from: from + start, ended: true };
    }
    from += start;
    rest = bytes.slice(start);
  }
  if (rest.length > 0) yield { bytes: rest, from, ended: false };
}

/**
 * @param name of the file, for the sentences
 * @throws BackupFault when it is no backup, is cut short or damaged, or holds a record that does not fit
 */
export async function readBackup(file: Blob, name: string): Promise<Backup> {
  const records = Object.fromEntries(PLAIN_STORES.map((s) => [s, []])) as unknown as Record<
    PlainStore,
    unknown[]
  >;
  const places: Record<ByteStore, Map<string, Place>> = { covers: new Map(), analyses: new Map() };
  const seen = new Set<string>();
  const hasher = await createSHA256();
  const fail = (sentence: string) => new BackupFault(`“${name}” ${sentence}`);
  const damaged = (line: number) =>
    fail(
      `is damaged (line ${line}): nothing was restored. Copy it again from where it came from, or take an older backup.`,
    );
  const none = async () => {
    const own = ownFileIn(await file.slice(0, LINE_HEAD).text());
    return fail(
      own && own.format !== BACKUP_FORMAT
        ? `${misplaced(own, 'backup')}.`
        : 'is no backup of Boothproof: choose a file that was saved as one.',
    );
  };

  let writtenAt: number | null = null;
  let end: v.InferOutput<typeof End> | null = null;
  let count = 0;
  let number = 0;
  for await (const { bytes, from, ended } of linesOf(file)) {
    number++;
    if (end) throw damaged(number);
    const head = new TextDecoder().decode(bytes.subarray(0, LINE_HEAD));
    const place = BYTE_LINE.exec(head);
    if (writtenAt !== null && place && ended) {
      places[place[1] as ByteStore].set(place[2], { from, to: from + bytes.length });
      count++;
    } else {
      let value: unknown;
      try {
        value = valueOf(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
      } catch {
        if (number === 1) throw await none();
        if (!ended) break;
        throw damaged(number);
      }
      if (writtenAt === null) {
        const read = v.safeParse(Head, value);
        if (!read.success) throw await none();
        if (read.output.version > BACKUP_VERSION) {
          throw fail('was written by a newer Boothproof: reload the page to get the newer one.');
        }
        writtenAt = read.output.writtenAt;
      } else if (v.is(End, value)) {
        end = value;
        continue; // its own bytes are not in the checksum
      } else {
        const { store, key, record } = checked(value, number, fail);
        if (key !== null) {
          if (seen.has(`${store} ${key}`)) throw damaged(number);
          seen.add(`${store} ${key}`);
        }
        records[store].push(record);
        count++;
      }
    }
    hasher.update(bytes);
  }
  if (writtenAt === null) throw await none();
  if (!end) {
    throw fail(
      `is cut short after ${count} records: nothing was restored. Copy it again from where it came from, or take an older backup.`,
    );
  }
  if (end.records !== count || end.sha256 !== hasher.digest('hex')) {
    throw fail(
      'was changed or damaged since it was written (its checksum is wrong): nothing was restored. Copy it again, or take an older backup.',
    );
  }
  return {
    ...(records as unknown as Pick<Backup, PlainStore>),
    writtenAt,
    fileName: name,
    covers: new Set(places.covers.keys()),
    analyses: new Set(places.analyses.keys()),
    async line(store, id) {
      const place = places[store].get(id);
      if (!place) throw new RangeError(`No ${store} of ${id}.`);
      const text = await file.slice(place.from, place.to).text();
      return valueOf(text) as { base64: string };
    },
  };
}

function checked(
  value: unknown,
  line: number,
  fail: (sentence: string) => BackupFault,
): { store: PlainStore; key: string | null; record: unknown } {
  const { store, record } = (value ?? {}) as { store?: unknown; record?: unknown };
  const known = PLAIN_STORES.find((s) => s === store);
  if (!known) {
    const other = BYTE_STORES.some((s) => s === store);
    throw fail(
      other
        ? `has a record without an id in line ${line}: nothing was restored. Take an older backup.`
        : `has a record of an unknown kind in line ${line}: nothing was restored. Reload the page to get the newest Boothproof, and try again.`,
    );
  }
  const read = v.safeParse(RECORDS[known], record);
  const problem = read.success ? null : problemsOf(read.issues)[0];
  if (problem) {
    throw fail(
      `has a record that does not fit in line ${line} (${known}): ${placeInWords(problem.path)} ${problem.sentence}. Nothing was restored.`,
    );
  }
  const fault = known === 'edits' ? faultOf((record as EditRecord).markers ?? []) : null;
  if (fault) throw fail(`has markers that do not fit in line ${line}: ${fault} Nothing was restored.`);
  return { store: known, key: keyIn(known, record as { id: string; key: string }), record };
}

/** What names a record within its store; null: nothing does, equal ones are one. */
function keyIn(store: PlainStore, { id, key }: { id: string; key: string }): string | null {
  if (store === 'answers' || store === 'hands') return null;
  return store === 'settings' || store === 'cards' ? key : id;
}
