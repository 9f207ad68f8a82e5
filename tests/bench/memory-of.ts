/** Memory of processes as the kernel tells it (proc(5)): Linux only. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';

/** Whether this system tells. */
export const tellsMemory = (): boolean => existsSync('/proc/self/smaps_rollup');

const text = (path: string): string => {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    // A process may end while it is looked at.
    return '';
  }
};

const kilobytes = (file: string, field: string) =>
  Number(new RegExp(`^${field}:\\s*(\\d+)`, 'm').exec(text(file))?.[1] ?? 0);

/** The processes below `pid` that draw a page. */
export function renderers(pid: number): number[] {
  const all = readdirSync('/proc').filter((name) => /^\d+$/.test(name));
  const parentOf = (each: number) => kilobytes(`/proc/${each}/status`, 'PPid');
  const isBelow = (each: number): boolean => each === pid || (each > 1 && isBelow(parentOf(each)));
  return all
    .map(Number)
    .filter((each) => text(`/proc/${each}/cmdline`).includes('--type=renderer') && isBelow(each));
}

/** Of the largest page below `pid`, kB: its own memory, and its share of what processes have in common. */
export const proportional = (pid: number): number =>
  Math.max(0, ...renderers(pid).map((each) => kilobytes(`/proc/${each}/smaps_rollup`, 'Pss')));

/** Of the largest page below `pid`, kB: the most that ever was resident, what it has in common with others in full. */
export const mostResident = (pid: number): number =>
  Math.max(0, ...renderers(pid).map((each) => kilobytes(`/proc/${each}/status`, 'VmHWM')));

/** Asks for `proportional` ten times a second while `work` goes on. @returns what it gives, and the most, kB */
export async function peakWhile<T>(pid: number, work: () => Promise<T>): Promise<[T, number]> {
  let peak = proportional(pid);
  const timer = setInterval(() => (peak = Math.max(peak, proportional(pid))), 100);
  try {
    return [await work(), peak];
  } finally {
    clearInterval(timer);
  }
}
