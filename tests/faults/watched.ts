/** Damaged files in a process that is watched: when it hangs or dies it is told of and replaced, and the rest goes on. */
import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { AudioOutcome } from './audio-case.ts';

/** What counts as a hang, ms. */
export const PATIENCE_MS = 10_000;
/** Beyond this the process counts as out of memory. */
const HEAP_MB = 400;

export type FromChild =
  { ready: true } | { begun: number } | { ended: AudioOutcome; residentBytes: number } | { finished: true };

export interface Watched {
  outcomes: AudioOutcome[];
  /** Seeds whose case hung or took the process down, with what happened. */
  lost: { seed: number; what: string }[];
  /** Largest resident size of any of the processes after a case. */
  peakBytes: number;
}

/** @param onOutcome called after every case */
export async function runWatched(
  seeds: readonly number[],
  onOutcome: (outcome: AudioOutcome) => void = () => {},
): Promise<Watched> {
  const result: Watched = { outcomes: [], lost: [], peakBytes: 0 };
  let left = [...seeds];
  while (left.length) {
    const lost = await oneProcess(left, result, onOutcome);
    if (lost === null) break;
    left = left.slice(left.indexOf(lost) + 1);
  }
  return result;
}

/** @returns the seed at which the process was lost, or null when all were run */
function oneProcess(
  seeds: readonly number[],
  result: Watched,
  onOutcome: (outcome: AudioOutcome) => void,
): Promise<number | null> {
  const child = fork(fileURLToPath(new URL('./child.ts', import.meta.url)), {
    execArgv: ['--import', 'tsx', `--max-old-space-size=${HEAP_MB}`],
  });
  return new Promise((resolve, reject) => {
    let running: number | null = null;
    let patience: ReturnType<typeof setTimeout> | undefined;
    const lose = (what: string) => {
      clearTimeout(patience);
      child.removeAllListeners();
      child.kill('SIGKILL');
      // Before the first case something is wrong with the test itself.
      if (running === null) return reject(new Error(what));
      result.lost.push({ seed: running, what });
      resolve(running);
    };
    child.on('message', (message: FromChild) => {
      if ('ready' in message) child.send([...seeds]);
      else if ('begun' in message) {
        running = message.begun;
        patience = setTimeout(() => lose(`no end after ${PATIENCE_MS} ms`), PATIENCE_MS);
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
