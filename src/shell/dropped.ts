/** What was dropped on the page: files, and the audio files in folders, with handles where the browser gives them. */
import type { GivenFile } from '../library/unread.svelte.ts';

/** Endings of the files that are taken out of a folder; of files dropped by themselves every one is tried. */
const AUDIO = /\.(wav|wave|aif|aiff|aifc|mp3|m4a|mp4|aac|flac|ogg|oga|opus)$/i;

export const isAudioName = (name: string): boolean => AUDIO.test(name) && !name.startsWith('.');

/** File System Access (https://wicg.github.io/file-system-access/#drag-and-drop), which not every browser has. */
interface WithHandle {
  getAsFileSystemHandle?(): Promise<FileSystemHandle | null>;
}

/** Must be called in the drop event itself: afterwards the browser takes its contents away. */
export async function filesDropped(transfer: DataTransfer): Promise<GivenFile[]> {
  const items = [...transfer.items].filter((item) => item.kind === 'file');
  const files = [...transfer.files];
  const handles = items.map((item) => (item as DataTransferItem & WithHandle).getAsFileSystemHandle?.());
  const entries = items.map((item) => item.webkitGetAsEntry?.() ?? null);
  const given: GivenFile[] = [];
  for (let i = 0; i < Math.max(items.length, files.length); i++) {
    const handle = await handles[i]?.catch(() => null);
    const entry = entries[i];
    if (handle) given.push(...(await ofHandle(handle, true)));
    else if (entry?.isDirectory) given.push(...(await ofEntry(entry)));
    else if (files[i]) given.push({ file: files[i] });
  }
  return given;
}

async function ofHandle(handle: FileSystemHandle, direct: boolean): Promise<GivenFile[]> {
  if (handle.kind === 'file') {
    if (!direct && !isAudioName(handle.name)) return [];
    const file = handle as FileSystemFileHandle;
    return [{ file: await file.getFile(), handle: file }];
  }
  const inside: FileSystemHandle[] = [];
  for await (const each of (handle as FileSystemDirectoryHandle).values()) inside.push(each);
  inside.sort((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }));
  const given: GivenFile[] = [];
  for (const each of inside) given.push(...(await ofHandle(each, false)));
  return given;
}

async function ofEntry(entry: FileSystemEntry): Promise<GivenFile[]> {
  if (entry.isFile) {
    if (!isAudioName(entry.name)) return [];
    return [
      {
        file: await new Promise<File>((resolve, reject) =>
          (entry as FileSystemFileEntry).file(resolve, reject),
        ),
      },
    ];
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const inside: FileSystemEntry[] = [];
  // It gives at most a hundred at a time.
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((resolve, reject) =>
      reader.readEntries(resolve, reject),
    );
    if (!some.length) break;
    inside.push(...some);
  }
  const given: GivenFile[] = [];
  for (const each of inside) given.push(...(await ofEntry(each)));
  return given;
}
