import { release } from '../release.ts';

/** Columns per piece of a ColumnStore: a power of two, so that whole groups of columns lie in one piece. */
export const PIECE_COLUMNS = 8192;

/**
 * A list of columns, each of the same number of values, that grows without ever copying what it holds;
 * `take` hands the whole over as one array per row.
 */
export class ColumnStore {
  /** pieces[row][i] holds PIECE_COLUMNS columns' values of that row. */
  readonly #pieces: Float32Array[][];
  #length = 0;

  /** @param rows values per column */
  constructor(rows: number) {
    this.#pieces = Array.from({ length: rows }, () => []);
  }

  /** Number of columns. */
  get length(): number {
    return this.#length;
  }

  /** Adds a column of `rows` values. */
  push(values: ArrayLike<number>): void {
    const place = this.#length % PIECE_COLUMNS;
    const last = (this.#length - place) / PIECE_COLUMNS;
    const pieces = this.#pieces;
    for (let row = 0; row < pieces.length; row++) {
      if (place === 0) pieces[row].push(new Float32Array(PIECE_COLUMNS));
      pieces[row][last][place] = values[row];
    }
    this.#length++;
  }

  /** The columns in pieces of PIECE_COLUMNS, the last one shorter: views of each row, not copies. */
  *pieces(): Generator<Float32Array[]> {
    for (let from = 0; from < this.#length; from += PIECE_COLUMNS) {
      const count = Math.min(PIECE_COLUMNS, this.#length - from);
      yield this.#pieces.map((row) => row[from / PIECE_COLUMNS].subarray(0, count));
    }
  }

  /** All rows, one array each; the store is empty afterwards. Row by row, so that a long track is never held twice. */
  take(): Float32Array<ArrayBuffer>[] {
    const length = this.#length;
    this.#length = 0;
    return this.#pieces.map((pieces) => {
      const all = new Float32Array(length);
      pieces.forEach((piece, i) => {
        const from = i * PIECE_COLUMNS;
        all.set(piece.subarray(0, Math.min(PIECE_COLUMNS, length - from)), from);
        release(piece);
      });
      pieces.length = 0;
      return all;
    });
  }
}
