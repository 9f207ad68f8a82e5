/** Floats per piece of a FloatStore. */
const PIECE = 8192;

/**
 * A list of numbers that grows without ever copying what it holds; `take` hands the whole over as one array.
 */
export class FloatStore {
  #pieces: Float32Array[] = [];
  #length = 0;

  get length(): number {
    return this.#length;
  }

  push(value: number): void {
    const place = this.#length % PIECE;
    if (place === 0) this.#pieces.push(new Float32Array(PIECE));
    this.#pieces[this.#pieces.length - 1][place] = value;
    this.#length++;
  }

  /** Number `index`, which must be below `length`. */
  at(index: number): number {
    return this.#pieces[Math.floor(index / PIECE)][index % PIECE];
  }

  /** All numbers as one array; the store is empty afterwards, so that nothing is held twice. */
  take(): Float32Array<ArrayBuffer> {
    const all = new Float32Array(this.#length);
    this.#pieces.forEach((piece, i) => {
      all.set(i * PIECE + PIECE > all.length ? piece.subarray(0, all.length - i * PIECE) : piece, i * PIECE);
    });
    this.#pieces = [];
    this.#length = 0;
    return all;
  }
}
