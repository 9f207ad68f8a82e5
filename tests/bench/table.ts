/** Plain text tables and medians for the benches. */

export interface Table {
  title: string;
  /** What was measured, in a line or two. */
  note?: string;
  head: string[];
  rows: (string | number)[][];
}

/** One bench: measures, and tells what it found. */
export interface Bench {
  /** Word by which it is chosen on the command line. */
  name: string;
  run(): Promise<Table[]>;
}

export function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}

export function tableText({ title, note, head, rows }: Table): string {
  const cells = [head, ...rows.map((row) => row.map(String))];
  const widths = head.map((_, c) => Math.max(...cells.map((row) => row[c]?.length ?? 0)));
  const line = (row: string[]) =>
    row
      .map((cell, c) => (c === 0 ? cell.padEnd(widths[c]) : cell.padStart(widths[c])))
      .join('  ')
      .trimEnd();
  const rule = widths.map((width) => '-'.repeat(width)).join('  ');
  return [title, ...(note ? [note] : []), line(cells[0]), rule, ...cells.slice(1).map(line)].join('\n');
}

/** `0.123 s` */
export const seconds = (ms: number): string => `${(ms / 1000).toFixed(3)} s`;
/** `1.23` */
export const ratio = (value: number): string => value.toFixed(3);
/** A target and whether it was met. */
export const against = (value: number, limit: number): string =>
  `≤ ${limit}: ${value <= limit ? 'met' : 'MISSED'}`;
