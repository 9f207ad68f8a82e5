/** What a chart draws. */
export interface ChartPoint {
  x: number;
  y: number;
  low: number;
  high: number;
}

export interface Series {
  name: string;
  points: readonly ChartPoint[];
  /** Points alone, each with its interval as a bar; else a line in a band. */
  dots?: boolean;
}

/** A round upper end for an axis that begins at 0. */
export function niceTop(values: readonly number[]): number {
  const top = Math.max(1e-6, ...values.filter(Number.isFinite));
  const power = 10 ** Math.floor(Math.log10(top));
  return ([1, 2, 5, 10].find((step) => step * power >= top) ?? 10) * power;
}

const HOUR = 3_600_000;

/** From the first to the last of some times (ms since 1970), an hour wide at least. */
export function timeDomainOf(times: readonly number[]): [number, number] {
  if (!times.length) return [0, 1];
  const [first, last] = [Math.min(...times), Math.max(...times)];
  return [first - HOUR, Math.max(last, first + HOUR)];
}

/** `3 Nov` @param at ms since 1970 */
export const dayOf = (at: number): string =>
  new Date(at).toLocaleDateString(undefined, { day: 'numeric', month: 'short' });

/** A number at an axis: no longer than it is, and never rounded to another line's place. */
export const tickOf = (value: number): string => String(Number(value.toFixed(2)));
