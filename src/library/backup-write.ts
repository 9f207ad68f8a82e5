/** Writes a backup. */
import { createSHA256 } from 'hash-wasm';
import { ANALYSIS_VERSION } from '../../shared/analysis.ts';
import { encodeAnalysis } from '../../shared/analysis-codec.ts';
import { BACKUP_FORMAT } from '../../shared/own-files.ts';
import { BACKUP_VERSION, PLAIN_STORES, type PlainStore, base64Of, lineOf } from './backup-format.ts';
import type { LibraryDb, LibrarySchema } from './schema.ts';
import { inOrder, readAnalysis } from './tracks.ts';

export interface BackupOptions {
  /** Milliseconds since 1970. */
  now: number;
  /** With the pictures, so that a restored track shows without its file; a few MB for each track. Default: without. */
  analyses?: boolean;
  /** Default: with. */
  covers?: boolean;
}

type Records = { [S in PlainStore]: LibrarySchema[S]['value'][] };

/**
 * The library as one file. Tracks whose removal can still be undone are left out, with all that hangs on them.
 * Records that belong together are read in one transaction.
 */
export async function writeBackup(db: LibraryDb, options: BackupOptions): Promise<Blob> {
  const { now, analyses = false, covers = true } = options;
  const transaction = db.transaction([...PLAIN_STORES, 'covers']);
  const all = <S extends PlainStore>(store: S) => transaction.objectStore(store).getAll();
  const [plain, pictures] = await Promise.all([
    Promise.all(PLAIN_STORES.map(all)),
    covers ? transaction.objectStore('covers').getAll() : [],
    transaction.done,
  ]);
  const records = Object.fromEntries(PLAIN_STORES.map((store, i) => [store, plain[i]])) as Records;
  const kept = inOrder(records.tracks.filter((t) => t.removedAt === null));
  const ids = new Set(kept.map((t) => t.id));
  records.tracks = kept;
  records.edits = records.edits.filter((e) => ids.has(e.id));

  const hasher = await createSHA256();
  const parts: Blob[] = [];
  let count = 0;
  // Blobs rather than strings: the browser may move them out of memory.
  const add = (value: unknown) => {
    const bytes = new TextEncoder().encode(`${lineOf(value)}\n`);
    hasher.update(bytes);
    parts.push(new Blob([bytes]));
  };
  const addRecord = (value: unknown) => {
    add(value);
    count++;
  };
  add({ format: BACKUP_FORMAT, version: BACKUP_VERSION, writtenAt: now });
  for (const store of PLAIN_STORES) for (const record of records[store]) addRecord({ store, record });
  for (const { id, cover } of pictures) {
    if (!ids.has(id)) continue;
    const base64 = base64Of(new Uint8Array(await cover.arrayBuffer()));
    addRecord({ store: 'covers', id, type: cover.type, base64 });
  }
  for (const { id } of analyses ? kept : []) {
    const reading = await readAnalysis(db, id);
    if (reading.state !== 'current') continue;
    const base64 = base64Of(encodeAnalysis(reading.analysis));
    addRecord({ store: 'analyses', id, version: ANALYSIS_VERSION, analysedAt: now, base64 });
  }
  const end = `${lineOf({ end: true, records: count, sha256: hasher.digest('hex') })}\n`;
  return new Blob([...parts, end], { type: 'application/jsonl' });
}
