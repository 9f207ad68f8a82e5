/** A file of the disk as a byte source. Only Node entry points import this file. */
import { open, stat, type FileHandle } from 'node:fs/promises';
import { basename } from 'node:path';
import { unreadable } from './sentences.ts';
import { DecodeFault, type ByteSource } from './types.ts';

/**
 * Opens a file for reading in pieces. The handle is closed by `close`; a forgotten one is closed by Node.
 * @throws DecodeFault `unreadable` when there is no such file or it may not be read
 */
export async function fileSource(path: string): Promise<ByteSource & { close(): Promise<void> }> {
  const name = basename(path);
  let handle: FileHandle;
  let size: number;
  try {
    const info = await stat(path);
    if (!info.isFile()) throw new Error('not a file');
    size = info.size;
    handle = await open(path, 'r');
  } catch {
    throw new DecodeFault('unreadable', unreadable(name));
  }
  return {
    name,
    size,
    async read(start, end) {
      const from = Math.max(0, Math.min(start, size));
      const length = Math.max(0, Math.min(end, size) - from);
      const bytes = new Uint8Array(length);
      let filled = 0;
      while (filled < length) {
        const { bytesRead } = await handle.read(bytes, filled, length - filled, from + filled);
        if (bytesRead === 0) break;
        filled += bytesRead;
      }
      return filled === length ? bytes : bytes.subarray(0, filled);
    },
    close: () => handle.close(),
  };
}
