/** Numbers and lists in sentences. */

export const number = (value: number, digits = 2): string =>
  new Intl.NumberFormat('en-GB', { maximumSignificantDigits: digits, useGrouping: false }).format(value);

export const plural = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;

/** `a, b and c` */
export function list(words: readonly string[]): string {
  return words.length < 2
    ? words.join('')
    : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}
