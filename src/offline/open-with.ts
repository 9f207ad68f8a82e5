/** Files that the system hands over by its “open with” (File Handling, https://wicg.github.io/manifest-incubations/). */
import { words } from './words.ts';

interface LaunchQueue {
  setConsumer(consumer: (launch: { files?: readonly FileSystemFileHandle[] }) => void): void;
}

export interface OpenWith {
  take(files: File[]): void;
  report(sentence: string): void;
}

/** Takes what was handed over, now and later; does nothing where the browser cannot. */
export function acceptHandedOver({ take, report }: OpenWith): void {
  const { launchQueue } = window as { launchQueue?: LaunchQueue };
  launchQueue?.setConsumer(({ files = [] }) => void collect(files).then(take));

  async function collect(handles: readonly FileSystemFileHandle[]): Promise<File[]> {
    const files: File[] = [];
    for (const handle of handles) {
      try {
        files.push(await handle.getFile());
      } catch (error) {
        report(words.unreadable(handle.name, error instanceof Error ? error.message : String(error)));
      }
    }
    return files;
  }
}
