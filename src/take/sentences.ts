/** What a person is told when a take-along folder could not be written. */
import type { TakeFaultCode } from './types.ts';

const quoted = (name: string) => `“${name}”`;

const REASONS: Record<Exclude<TakeFaultCode, 'source'>, (path: string, detail: string) => string> = {
  cancelled: () => 'Stopped before everything was written.',
  full: (path) =>
    `The disk is full: ${quoted(path)} does not fit any more. Make room, or choose another disk, and write again.`,
  permission: (path) =>
    `The browser may no longer write there (at ${quoted(path)}). Choose the folder again and allow it.`,
  gone: (path) =>
    `The folder is no longer there (at ${quoted(path)}): check that the drive is connected, and write again.`,
  check: (path) =>
    `${quoted(path)} reads back differently from what was written. The drive may be failing: try another one.`,
  unexpected: (path, detail) =>
    `${quoted(path)} could not be written (${detail}). Try again, or choose another place.`,
};

function leftBehind(leftovers: readonly string[]): string {
  if (leftovers.length === 0) return 'Nothing of it was left behind.';
  const [first] = leftovers;
  const rest = leftovers.length > 1 ? ` and ${leftovers.length - 1} more` : '';
  return `Could not be removed again: ${quoted(first)}${rest}. Do not use ${leftovers.length > 1 ? 'them' : 'it'}; delete ${leftovers.length > 1 ? 'them' : 'it'} by hand.`;
}

/** @param detail of `source`: a whole sentence about the file that could not be read */
export function faultSentence(
  code: TakeFaultCode,
  path: string,
  detail: string,
  leftovers: readonly string[],
): string {
  const reason = code === 'source' ? detail : REASONS[code](path, detail);
  return `${reason} ${leftBehind(leftovers)}`;
}

export const UNFINISHED_TEXT =
  'This folder is not finished. If you can read this and nothing is being written to it, delete the whole folder\n' +
  'and write it again: files in it may be cut short.\n';
