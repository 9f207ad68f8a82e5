/** Files of a take-along folder from what the app has. */
import { startCopy, type CopyStreamOptions } from './copy-stream.ts';
import { bytesOfBlob, bytesOfText } from './hashed.ts';
import type { AnalysisWorker } from '../queue/worker.ts';
import type { CopyReport } from '../../workers/copy/types.ts';
import type { TakeFile } from './types.ts';

/** UTF-8 text: the playlist, the card, marker files. */
export const textFile = (path: string, text: string): TakeFile => ({
  path,
  open: async () => bytesOfText(text),
});

/** A file as it is. */
export const blobFile = (path: string, blob: Blob): TakeFile => ({
  path,
  open: async (signal) => bytesOfBlob(blob, 0, blob.size, signal),
});

export interface CopyFileOptions extends Omit<CopyStreamOptions, 'signal'> {
  /** Called when the last byte has been made; the writer may still find that the disk is full. */
  onReport?: (report: CopyReport) => void;
}

/** A booth-safe copy, made when it is the file's turn. */
export function copyFile(
  path: string,
  createWorker: () => AnalysisWorker,
  file: Blob,
  name: string,
  { onReport, ...options }: CopyFileOptions,
): TakeFile {
  return {
    path,
    async open(signal) {
      const { bytes } = await startCopy(createWorker, file, name, { ...options, signal });
      async function* reported() {
        const report = yield* bytes;
        onReport?.(report);
      }
      return reported();
    },
  };
}
