/** Columns per piece of a ColumnStore. */
const PIECE = 8192;

/**
 * A list of columns, each of the same number of values, that grows without ever copying what it holds;
 * `take` hands the whole over as one array per row.
 */
export class ColumnStore {
  readonly #rows: number;
  /** Each holds the first PIECE columns' row 0, then their row 1 and so on. */
  #pieces: Float32Array[] = [];
  #length = 0;

  /** @param rows values per column */
  constructor(rows: number) {
    this.#rows = rows;
  }

  /** Number of columns. */
  get length(): number {
    return this.#length;
  }

  /** Adds a column of `rows` values. */
  push(values: ArrayLike<number>): void {
    const place = this.#length % PIECE;
    if (place === 0) this.#pieces.push(new Float32Array(this.#rows * PIECE));
    const piece = this.#pieces[this.#pieces.length - 1];
    const rows = this.#rows;
    for (let row = 0, at = place; row < rows; row++, at += PIECE) piece[at] = values[row];
    this.#length++;
  }

  /** A copy of everything, one array per row. */
  rows(): Float32Array<ArrayBuffer>[] {
    return Array.from({ length: this.#rows }, (_, row) => {
      const all = new Float32Array(this.#length);
      this.#pieces.forEach((piece, i) => {
        const start = row * PIECE;
        const count = Math.min(PIECE, all.length - i * PIECE);
        all.set(piece.subarray(start, start + count), i * PIECE);
      });
      return all;
    });
  }

  /** All rows; the store is empty afterwards. */
  take(): Float32Array<ArrayBuffer>[] {
    const rows = this.rows();
    this.#pieces = [];
    this.#length = 0;
    return rows;
  }
}
