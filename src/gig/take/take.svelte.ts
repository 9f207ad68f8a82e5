/** One run of writing a take-along folder, as the screen sees it. */
import type { CopyReport } from '../../../workers/copy/types.ts';
import { download } from '../../shell/download.ts';
import { takeFault } from '../../take/fault.ts';
import { writeFolder } from '../../take/folder.ts';
import { safeName } from '../../take/names.ts';
import type { TakeOptions, TakeProgress, TakeResult } from '../../take/types.ts';
import { TakeFault } from '../../take/types.ts';
import { writeZip } from '../../take/zip.ts';
import type { TakeSet } from './files.ts';
import { chooseFolder, newZipFile } from './store.ts';
import { words } from './words.ts';

export interface TakeDone extends TakeResult {
  sentence: string;
  reports: { path: string; report: CopyReport }[];
}

export class TakeRun {
  running = $state(false);
  /** The person stopped it, and what was under way is being ended and removed: a slow drive takes its time. */
  stopping = $state(false);
  progress = $state.raw<TakeProgress | null>(null);
  /** Share of the copy that is being made, 0..1. */
  copyShare = $state(0);
  fault = $state('');
  done = $state.raw<TakeDone | null>(null);
  #stop: AbortController | null = null;

  /** 0..1 of the step that runs. */
  get share(): number {
    const { progress } = this;
    if (!progress) return 0;
    return Math.min(1, (progress.done + this.copyShare) / Math.max(1, progress.files));
  }

  readonly onCopyProgress = (share: number): void => {
    this.copyShare = share;
  };

  cancel(): void {
    this.stopping = this.running;
    this.#stop?.abort();
  }

  /** Writes a zip and hands it to the browser's downloads. */
  async zip(name: string, make: () => TakeSet): Promise<void> {
    await this.#run(name, make, async (set, options) => {
      const file = await newZipFile();
      const result = await writeZip(file, name, set.files, { ...options, now: Date.now() });
      const fileName = safeName(`${name}.zip`);
      download(await file.getFile(), fileName);
      return { result, sentence: words.doneZip(fileName, result.files.length, bytesOf(result)) };
    });
  }

  /** Writes into a folder that the person chooses. */
  async folder(name: string, make: () => TakeSet): Promise<void> {
    await this.#run(name, make, async (set, options) => {
      const parent = await chooseFolder();
      if (!parent) return null;
      const result = await writeFolder(parent, name, set.files, options);
      return { result, sentence: words.doneFolder(result.folder, result.files.length, bytesOf(result)) };
    });
  }

  async #run(
    name: string,
    make: () => TakeSet,
    write: (set: TakeSet, options: TakeOptions) => Promise<{ result: TakeResult; sentence: string } | null>,
  ): Promise<void> {
    if (this.running) return;
    const stop = new AbortController();
    this.#stop = stop;
    this.running = true;
    this.fault = '';
    this.done = null;
    this.progress = null;
    this.copyShare = 0;
    const onProgress = (progress: TakeProgress) => {
      if (progress.path !== this.progress?.path || progress.step !== this.progress.step) this.copyShare = 0;
      this.progress = progress;
    };
    try {
      const set = make();
      const written = await write(set, { signal: stop.signal, onProgress });
      if (written) this.done = { ...written.result, sentence: written.sentence, reports: set.reports };
    } catch (error) {
      const fault = error instanceof TakeFault ? error : takeFault(error, name, [], stop.signal);
      this.fault = fault.message;
    } finally {
      this.running = false;
      this.stopping = false;
      this.#stop = null;
    }
  }
}

const bytesOf = ({ files }: TakeResult) => files.reduce((sum, { size }) => sum + size, 0);
