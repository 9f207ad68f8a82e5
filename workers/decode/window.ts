/** A window that moves over a byte source, so that parsers see bytes in memory and the file stays on its drive. */
import type { ByteSource } from './types.ts';

/** bytes per read: large enough to be quick, small enough that a cancel is noticed soon */
const CHUNK = 512 * 1024;

export class ByteWindow {
  /** Bytes in memory. `at` is the index of the next one to use. */
  bytes = new Uint8Array(0);
  at = 0;
  private base: number;

  /**
   * @param start absolute offset of the first byte to use
   * @param end absolute offset behind the last one
   */
  constructor(
    private readonly source: ByteSource,
    start: number,
    readonly end = source.size,
  ) {
    this.base = start;
  }

  /** Absolute offset of the next byte. */
  get position(): number {
    return this.base + this.at;
  }

  /** Bytes in memory from `at` on. */
  get available(): number {
    return this.bytes.length - this.at;
  }

  get ended(): boolean {
    return this.base + this.bytes.length >= this.end;
  }

  /** Makes at least `count` bytes available unless the file ends before; returns whether they are. */
  async fill(count: number): Promise<boolean> {
    while (this.available < count && !this.ended) {
      const from = this.base + this.bytes.length;
      const fresh = await this.source.read(from, Math.min(this.end, from + Math.max(CHUNK, count)));
      if (fresh.length === 0) break;
      const rest = this.bytes.subarray(this.at);
      this.base += this.at;
      this.at = 0;
      if (rest.length === 0) this.bytes = fresh as Uint8Array<ArrayBuffer>;
      else {
        const joined = new Uint8Array(rest.length + fresh.length);
        joined.set(rest);
        joined.set(fresh, rest.length);
        this.bytes = joined;
      }
    }
    return this.available >= count;
  }

  /** Moves on by `count` bytes, which may lie beyond what is in memory. */
  skip(count: number): void {
    if (count <= this.available) this.at += count;
    else {
      this.base = this.position + count;
      this.bytes = new Uint8Array(0);
      this.at = 0;
    }
  }
}
