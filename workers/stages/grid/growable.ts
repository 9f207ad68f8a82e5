/** A Float32Array that grows by half when it is full. */
export class Growable {
  private data: Float32Array;
  length = 0;

  constructor(capacity = 4096) {
    this.data = new Float32Array(capacity);
  }

  push(value: number): void {
    if (this.length === this.data.length) this.grow(this.length + 1);
    this.data[this.length++] = value;
  }

  append(values: ArrayLike<number>): void {
    if (this.length + values.length > this.data.length) this.grow(this.length + values.length);
    this.data.set(values, this.length);
    this.length += values.length;
  }

  /** A view of what has been pushed; not a copy. */
  view(): Float32Array {
    return this.data.subarray(0, this.length);
  }

  private grow(atLeast: number): void {
    const next = new Float32Array(Math.max(atLeast, Math.ceil(this.data.length * 1.5)));
    next.set(this.data.subarray(0, this.length));
    this.data = next;
  }
}
