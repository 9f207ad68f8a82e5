/** Numbers in the sentences of the gig. */

export const number = (value: number, digits = 2): string =>
  new Intl.NumberFormat('en-GB', { maximumSignificantDigits: digits, useGrouping: false }).format(value);

export const plural = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;

/** `1 beat`, `8 beats`, `1/8 beat` */
export function inBeats(beats: number): string {
  const inverse = 1 / beats;
  if (beats < 1 && Math.abs(inverse - Math.round(inverse)) < 1e-6) return `1/${Math.round(inverse)} beat`;
  return beats === 1 ? '1 beat' : `${number(beats, 4)} beats`;
}

export const kilobytes = (bytes: number): string =>
  bytes >= 1e6 ? `${number(bytes / 1e6)} MB` : `${Math.round(bytes / 1000)} kB`;

/** `a, b and c` */
export function list(words: readonly string[]): string {
  return words.length < 2
    ? words.join('')
    : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}
