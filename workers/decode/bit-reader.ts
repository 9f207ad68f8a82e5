/** Reads a run of bytes bit by bit, most significant first; beyond the end it reads zeros and says so. */
export class BitReader {
  /** Bit offset of the next bit. */
  position: number;
  private readonly endBit: number;

  constructor(
    private readonly bytes: Uint8Array,
    start = 0,
    end = bytes.length,
  ) {
    this.position = start * 8;
    this.endBit = end * 8;
  }

  /** Whether more bits were read than there are. */
  get overrun(): boolean {
    return this.position > this.endBit;
  }

  /** Up to 24 bits, unsigned. */
  small(count: number): number {
    const byte = this.position >> 3;
    const b = this.bytes;
    const word = ((b[byte] << 24) | (b[byte + 1] << 16) | (b[byte + 2] << 8) | b[byte + 3]) >>> 0;
    const value = count === 0 ? 0 : (word << (this.position & 7)) >>> (32 - count);
    this.position += count;
    return value;
  }

  /** Up to 53 bits, unsigned. */
  bits(count: number): number {
    let value = 0;
    while (count > 24) {
      value = value * 2 ** 24 + this.small(24);
      count -= 24;
    }
    return value * 2 ** count + this.small(count);
  }

  /** Up to 53 bits in two's complement. */
  signed(count: number): number {
    if (count === 0) return 0;
    const value = this.bits(count);
    return value >= 2 ** (count - 1) ? value - 2 ** count : value;
  }

  /** Zeros before the next one, which is consumed too. */
  unary(): number {
    let zeros = 0;
    for (;;) {
      if (this.position >= this.endBit) {
        this.position = this.endBit + 1;
        return zeros;
      }
      const byte = this.position >> 3;
      const shift = this.position & 7;
      const b = this.bytes;
      const word = ((b[byte] << 24) | (b[byte + 1] << 16) | (b[byte + 2] << 8)) << shift;
      const lead = Math.clz32(word);
      const have = 24 - shift;
      if (lead < have) {
        this.position += lead + 1;
        return zeros + lead;
      }
      zeros += have;
      this.position += have;
    }
  }

  /** Moves on to the next whole byte. */
  align(): void {
    this.position = (this.position + 7) & ~7;
  }

  /** Byte offset of the next whole byte. */
  get byte(): number {
    return (this.position + 7) >> 3;
  }
}
