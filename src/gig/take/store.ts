/** Where a zip is written before it is downloaded: the browser's own storage, so that it is never in memory. */

const FOLDER = 'take-along';
/** ms after which nothing reads a zip of an earlier run any more (estimate; a download reads it at once). */
const OLD = 3_600_000;

/** Whether this browser can keep a file while it is written. */
export const canStoreZip = (): boolean =>
  typeof navigator.storage?.getDirectory === 'function' &&
  typeof FileSystemFileHandle !== 'undefined' &&
  'createWritable' in FileSystemFileHandle.prototype;

/** A new, empty file. @throws DOMException as the browser has it */
export async function newZipFile(): Promise<FileSystemFileHandle> {
  const root = await navigator.storage.getDirectory();
  const folder = await root.getDirectoryHandle(FOLDER, { create: true });
  return folder.getFileHandle(`${crypto.randomUUID()}.zip`, { create: true });
}

/** Frees the room of zips that were handed out long ago. What cannot be removed now is left for the next time. */
export async function sweepZips(now: number): Promise<void> {
  try {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle(FOLDER);
    const old: string[] = [];
    for await (const handle of folder.values()) {
      if (handle.kind !== 'file') continue;
      if (now - (await (handle as FileSystemFileHandle).getFile()).lastModified > OLD) old.push(handle.name);
    }
    for (const name of old) await folder.removeEntry(name);
  } catch {
    // Nothing there, or in use by another tab.
  }
}

type Picker = (options: { mode: 'readwrite'; id: string }) => Promise<FileSystemDirectoryHandle>;
const pickerHere = () => (window as { showDirectoryPicker?: Picker }).showDirectoryPicker;

export const canChooseFolder = (): boolean => typeof pickerHere() === 'function';

/** Lets the person choose a folder; null when they do not. */
export async function chooseFolder(): Promise<FileSystemDirectoryHandle | null> {
  try {
    return (await pickerHere()?.call(window, { mode: 'readwrite', id: FOLDER })) ?? null;
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') return null;
    throw error;
  }
}
