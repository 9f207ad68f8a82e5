/** Damaged files in a process that is watched: when it hangs or dies it is told of and replaced, and the rest goes on. */
import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { AudioOutcome } from './audio-case.ts';

/** What counts as a hang, ms. */
export const PATIENCE_MS = 10_000;
/** Beyond this the process counts as out of memory. */
const HEAP_MB = 400;
const CHILD = new URL('./child.ts', import.meta.url);

export type FromChild =
  { ready: true } | { begun: number } | { ended: AudioOutcome; residentBytes: number } | { finished: true };

export interface Watched {
  outcomes: AudioOutcome[];
  /** Seeds whose case hung or took the process down, with what happened. */
  lost: { seed: number; what: string }[];
  /** Largest resident size of any of the processes after a case. */
  peakBytes: number;
}

export interface WatchOptions {
  /** Called after every case. */
  onOutcome?: (outcome: AudioOutcome) => void;
  /** The program that runs the cases. */
  program?: URL;
  patienceMs?: number;
}

/** Runs the case of every seed, in one process for as long as it lives. */
export async function runWatched(seeds: readonly number[], options: WatchOptions = {}): Promise<Watched> {
  const result: Watched = { outcomes: [], lost: [], peakBytes: 0 };
  let left = [...seeds];
  while (left.length) {
    const lost = await oneProcess(left, result, options);
    if (lost === null) break;
    left = left.slice(left.indexOf(lost) + 1);
  }
  return result;
}

/** @returns the seed at which the process was lost, or null when all were run */
function oneProcess(
  seeds: readonly number[],
  result: Watched,
  { onOutcome = () => {}, program = CHILD, patienceMs = PATIENCE_MS }: WatchOptions,
): Promise<number | null> {
  const child = fork(fileURLToPath(program), {
    execArgv: ['--import', 'tsx', `--max-old-space-size=${HEAP_MB}`],
    stdio: ['ignore', 'inherit', 'pipe', 'ipc'],
  });
  // What a dying process says is long; its first line with words tells enough.
  let said = '';
  child.stderr!.on('data', (text: Buffer) => (said = (said + text.toString()).slice(0, 4000)));
  return new Promise((resolve, reject) => {
    let running: number | null = null;
    let patience: ReturnType<typeof setTimeout> | undefined;
    const lose = (what: string) => {
      clearTimeout(patience);
      child.removeAllListeners();
      child.kill('SIGKILL');
      // Before the first case something is wrong with the test itself.
      if (running === null) return reject(new Error(`${what} ${said}`));
      const reason = /^.*(error|fault).*$/im.exec(said)?.[0] ?? '';
      result.lost.push({ seed: running, what: `${what} ${reason}`.trim() });
      resolve(running);
    };
    child.on('message', (message: FromChild) => {
      if ('ready' in message) child.send([...seeds]);
      else if ('begun' in message) {
        running = message.begun;
        patience = setTimeout(() => lose(`no end after ${patienceMs} ms`), patienceMs);
      } else if ('ended' in message) {
        clearTimeout(patience);
        result.outcomes.push(message.ended);
        result.peakBytes = Math.max(result.peakBytes, message.residentBytes);
        onOutcome(message.ended);
      } else {
        child.removeAllListeners();
        child.kill();
        resolve(null);
      }
    });
    child.on('exit', (code, signal) => lose(`the process ended (${signal ?? code})`));
    child.on('error', (error) => lose(String(error)));
  });
}
