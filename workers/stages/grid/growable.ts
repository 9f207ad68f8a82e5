import { release } from '../../release.ts';

/** Values per piece. */
const PIECE = 65_536;

/** A list of floats that grows in pieces, without ever copying what it holds. */
export class Growable {
  private pieces: Float32Array[] = [];
  private last = new Float32Array(0);
  private inLast = 0;

  get length(): number {
    return Math.max(0, this.pieces.length - 1) * PIECE + this.inLast;
  }

  push(value: number): void {
    if (this.inLast === this.last.length) this.grow();
    this.last[this.inLast++] = value;
  }

  append(values: ArrayLike<number>): void {
    for (let i = 0; i < values.length; i++) this.push(values[i]);
  }

  /** The first `length` values as one array; the list is empty afterwards. */
  take(length = this.length): Float32Array {
    const all = new Float32Array(length);
    this.pieces.forEach((piece, i) => {
      const from = i * PIECE;
      if (from < length) all.set(piece.subarray(0, Math.min(PIECE, length - from)), from);
      release(piece);
    });
    this.pieces = [];
    this.last = new Float32Array(0);
    this.inLast = 0;
    return all;
  }

  private grow(): void {
    this.last = new Float32Array(PIECE);
    this.pieces.push(this.last);
    this.inLast = 0;
  }
}
