/** Amounts in the sentences of the gig. */
import { number } from '../text.ts';

/** `1 beat`, `8 beats`, `1/8 beat` */
export function inBeats(beats: number): string {
  const inverse = 1 / beats;
  if (beats < 1 && Math.abs(inverse - Math.round(inverse)) < 1e-6) return `1/${Math.round(inverse)} beat`;
  return beats === 1 ? '1 beat' : `${number(beats, 4)} beats`;
}

export const kilobytes = (bytes: number): string =>
  bytes >= 1e6 ? `${number(bytes / 1e6)} MB` : `${Math.round(bytes / 1000)} kB`;
