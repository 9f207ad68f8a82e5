/** Writes a take-along folder as one zip, by `client-zip` (stored, Zip64, names in UTF-8), as a stream. */
import { makeZip } from 'client-zip';
import { CheckFault, takeFault } from './fault.ts';
import { CHECKSUMS_NAME, bytesOfText, checksumText, digestOf, hashed } from './hashed.ts';
import { safeName, safePath } from './names.ts';
import type { TakeFile, TakeOptions, TakeResult, WrittenFile } from './types.ts';
import { bytesOfEntry, readZip } from './zip-read.ts';

export interface ZipOptions extends TakeOptions {
  /** Time of the files in the zip, milliseconds since 1970. */
  now: number;
}

/** Where the run is; for the sentence when it fails. */
interface Place {
  path: string;
}

interface Entries {
  entries: AsyncGenerator<{ name: string; lastModified: Date; input: AsyncIterable<Uint8Array> }, void, void>;
  done: WrittenFile[];
  place: Place;
}

function entriesOf(folder: string, files: readonly TakeFile[], options: ZipOptions): Entries {
  const { signal, onProgress, now } = options;
  const done: WrittenFile[] = [];
  const place: Place = { path: folder };
  let bytes = 0;
  async function* passing(path: string, source: AsyncIterable<Uint8Array>) {
    for await (const piece of hashed(source, (end) => done.push({ path, ...end }))) {
      signal?.throwIfAborted();
      bytes += piece.length;
      onProgress?.({ step: 'writing', path, done: done.length, files: files.length, bytes });
      yield piece;
    }
  }
  async function* entries() {
    const lastModified = new Date(now);
    for (const file of files) {
      const path = (place.path = file.path);
      if (safePath(path) !== path) throw new Error('the name is not one that every disk takes');
      signal?.throwIfAborted();
      const source = await file.open(signal ?? new AbortController().signal);
      yield { name: `${folder}/${path}`, lastModified, input: passing(path, source) };
    }
    // Made last, when the others' hashes are known.
    place.path = CHECKSUMS_NAME;
    const list = bytesOfText(checksumText(done));
    yield { name: `${folder}/${CHECKSUMS_NAME}`, lastModified, input: passing(CHECKSUMS_NAME, list) };
  }
  return { entries: entries(), done, place };
}

/**
 * Writes the zip into `file` (one that the person has chosen, or one in the browser's own storage that is then
 * downloaded), and reads every file in it back. Nothing appears in `file` before all of it has been written.
 * @param name of the folder in the zip
 * @throws TakeFault when anything at all went wrong; what stood in `file` before stands there still
 */
export async function writeZip(
  file: FileSystemFileHandle,
  name: string,
  files: readonly TakeFile[],
  options: ZipOptions,
): Promise<TakeResult> {
  const { signal, onProgress } = options;
  const folder = safeName(name);
  // Ends work that has begun for a file (a copy has a worker) when the writing fails.
  const failed = new AbortController();
  const either = signal ? AbortSignal.any([signal, failed.signal]) : failed.signal;
  const { entries, done, place } = entriesOf(folder, files, { ...options, signal: either });
  let wasEmpty = false;
  let replaced = false;
  try {
    signal?.throwIfAborted();
    wasEmpty = (await file.getFile()).size === 0;
    const writable = await file.createWritable();
    const reader = makeZip(entries).getReader();
    try {
      for (let step = await reader.read(); !step.done; step = await reader.read()) {
        signal?.throwIfAborted();
        await writable.write(step.value as Uint8Array<ArrayBuffer>);
      }
      signal?.throwIfAborted();
      await writable.close();
      replaced = true;
    } catch (error) {
      failed.abort();
      await reader.cancel(error).catch(() => undefined);
      await entries.return().catch(() => undefined);
      await writable.abort().catch(() => undefined);
      throw error;
    }
    const onCheck = (path: string, checked: number) => {
      place.path = path;
      onProgress?.({ step: 'checking', path, done: checked, files: files.length, bytes: 0 });
    };
    await checkZip(await file.getFile(), folder, done, { signal, onCheck });
    return { folder, files: done };
  } catch (error) {
    const left = wasEmpty || replaced ? await removed(file) : [];
    throw takeFault(error, place.path, left, signal);
  }
}

/** An empty or bad file is removed where the browser can. @returns its name when it stays */
async function removed(file: FileSystemFileHandle & { remove?(): Promise<void> }): Promise<string[]> {
  try {
    if (!file.remove) return [file.name];
    await file.remove();
    return [];
  } catch {
    return [file.name];
  }
}

export interface CheckOptions {
  signal?: AbortSignal;
  onCheck?: (path: string, checked: number) => void;
}

/**
 * Reads the zip back and compares every file.
 * @throws CheckFault when anything differs
 */
export async function checkZip(
  zip: Blob,
  folder: string,
  files: readonly WrittenFile[],
  { signal, onCheck }: CheckOptions = {},
): Promise<void> {
  const entries = await readZip(zip);
  if (entries.length !== files.length) throw new CheckFault(folder);
  for (const [i, { path, size, sha256 }] of files.entries()) {
    onCheck?.(path, i);
    const entry = entries[i];
    if (entry.name !== `${folder}/${path}` || entry.size !== size) throw new CheckFault(path);
    const found = await digestOf(await bytesOfEntry(zip, entry, signal));
    if (found.sha256 !== sha256) throw new CheckFault(path);
  }
}
