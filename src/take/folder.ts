/**
 * Writes a take-along folder straight to a disk, through the File System standard (https://fs.spec.whatwg.org/).
 *
 * Everything goes into a new folder, so nothing of the person's is ever replaced. As long as it is not finished a
 * file in it says so, which also holds when the tab is closed or the drive pulled; that file goes only when all
 * others have been read back. What a stopped or failed run has written is removed again.
 */
import { CheckFault, takeFault } from './fault.ts';
import { CHECKSUMS_NAME, bytesOfBlob, bytesOfText, checksumText, digestOf, hashed } from './hashed.ts';
import { safeName, safePath } from './names.ts';
import { UNFINISHED_TEXT } from './sentences.ts';
import type { TakeFile, TakeOptions, TakeResult, WrittenFile } from './types.ts';

export const UNFINISHED_NAME = 'NOT FINISHED.txt';
/** Folders of one name that are tried. */
const MOST_TRIES = 999;

const isNamed = (error: unknown, name: string) => error instanceof Error && error.name === name;

/** A folder that was not there before. */
async function newFolder(
  parent: FileSystemDirectoryHandle,
  wished: string,
): Promise<FileSystemDirectoryHandle> {
  for (let n = 1; n <= MOST_TRIES; n++) {
    const name = n === 1 ? wished : `${wished} (${n})`;
    try {
      await parent.getDirectoryHandle(name);
    } catch (error) {
      if (isNamed(error, 'NotFoundError')) return parent.getDirectoryHandle(name, { create: true });
      // A file has that name.
      if (!isNamed(error, 'TypeMismatchError')) throw error;
    }
  }
  throw new Error(`there are ${MOST_TRIES} folders of that name`);
}

/** One run: knows what it has made, so that it can be unmade. */
class Run {
  /** Paths of files and, after those in them, of folders. */
  readonly #made: { path: string; in: FileSystemDirectoryHandle; name: string }[] = [];
  readonly #folders = new Map<string, FileSystemDirectoryHandle>();

  constructor(
    readonly root: FileSystemDirectoryHandle,
    readonly parent: FileSystemDirectoryHandle,
  ) {
    this.#folders.set('', root);
    this.#made.push({ path: root.name, in: parent, name: root.name });
  }

  async #folder(path: string): Promise<FileSystemDirectoryHandle> {
    const known = this.#folders.get(path);
    if (known) return known;
    const slash = path.lastIndexOf('/');
    const above = await this.#folder(path.slice(0, Math.max(0, slash)));
    const name = path.slice(slash + 1);
    const folder = await above.getDirectoryHandle(name, { create: true });
    this.#folders.set(path, folder);
    this.#made.push({ path: `${this.root.name}/${path}`, in: above, name });
    return folder;
  }

  /** The file appears whole or not at all: what is written stands aside until it is closed. */
  async write(
    path: string,
    open: () => Promise<AsyncIterable<Uint8Array>>,
    onBytes: (count: number) => void,
    signal?: AbortSignal,
  ): Promise<{ written: WrittenFile; handle: FileSystemFileHandle }> {
    const slash = path.lastIndexOf('/');
    const folder = await this.#folder(path.slice(0, Math.max(0, slash)));
    const name = path.slice(slash + 1);
    signal?.throwIfAborted();
    const handle = await folder.getFileHandle(name, { create: true });
    this.#made.push({ path: `${this.root.name}/${path}`, in: folder, name });
    const writable = await handle.createWritable();
    let written: WrittenFile | null = null;
    try {
      for await (const piece of hashed(await open(), (end) => (written = { path, ...end }))) {
        signal?.throwIfAborted();
        await writable.write(piece as Uint8Array<ArrayBuffer>);
        onBytes(piece.length);
      }
      signal?.throwIfAborted();
      await writable.close();
    } catch (error) {
      await writable.abort().catch(() => undefined);
      throw error;
    }
    return { written: written!, handle };
  }

  async remove(path: string): Promise<void> {
    const whole = `${this.root.name}/${path}`;
    const index = this.#made.findIndex((made) => made.path === whole);
    const { in: folder, name } = this.#made[index];
    await folder.removeEntry(name);
    this.#made.splice(index, 1);
  }

  /** Removes what was made, and nothing else: a folder that something else has been put into stays. */
  async undo(): Promise<string[]> {
    const left: string[] = [];
    for (const { path, in: folder, name } of [...this.#made].reverse()) {
      try {
        await folder.removeEntry(name);
      } catch (error) {
        if (!isNamed(error, 'NotFoundError')) left.push(path);
      }
    }
    return left.reverse();
  }
}

/**
 * Writes the files into a new folder below `parent`, reads each of them back, and adds the list of checksums.
 * @param name wished for the folder; ` (2)` and so on is added when it is taken
 * @throws TakeFault when anything at all went wrong; the folder is then gone, or its leftovers are named
 */
export async function writeFolder(
  parent: FileSystemDirectoryHandle,
  name: string,
  files: readonly TakeFile[],
  { signal, onProgress }: TakeOptions = {},
): Promise<TakeResult> {
  let run: Run | null = null;
  let path = safeName(name);
  try {
    signal?.throwIfAborted();
    run = new Run(await newFolder(parent, path), parent);
    await run.write(
      UNFINISHED_NAME,
      async () => bytesOfText(UNFINISHED_TEXT),
      () => undefined,
    );
    const done: WrittenFile[] = [];
    let bytes = 0;
    const step = async (file: TakeFile) => {
      path = file.path;
      if (safePath(path) !== path) throw new Error('the name is not one that every disk takes');
      const tell = (what: 'writing' | 'checking') =>
        onProgress?.({ step: what, path, done: done.length, files: files.length, bytes });
      tell('writing');
      const open = () => file.open(signal ?? new AbortController().signal);
      const onBytes = (count: number) => {
        bytes += count;
        tell('writing');
      };
      const { written, handle } = await run!.write(path, open, onBytes, signal);
      tell('checking');
      const back = await handle.getFile();
      const found = await digestOf(bytesOfBlob(back, 0, back.size, signal));
      if (found.size !== written.size || found.sha256 !== written.sha256) throw new CheckFault(path);
      done.push(written);
    };
    for (const file of files) await step(file);
    await step({ path: CHECKSUMS_NAME, open: async () => bytesOfText(checksumText(done)) });
    signal?.throwIfAborted();
    await run.remove(UNFINISHED_NAME);
    return { folder: run.root.name, files: done };
  } catch (error) {
    throw takeFault(error, path, run ? await run.undo() : [], signal);
  }
}
