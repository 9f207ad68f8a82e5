/**
 * Random numbers for dither: xoshiro128++, which passes all known statistical tests and has a period of 2^128 − 1.
 * D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators", ACM TOMS 47 (2021),
 * https://prng.di.unimi.it/ . The state is filled by splitmix32-like mixing of the seed, as the authors advise.
 */
export class Random {
  #a: number;
  #b: number;
  #c: number;
  #d: number;

  /** @param seed any whole number; the same seed gives the same numbers */
  constructor(seed: number) {
    let state = seed | 0;
    const mixed = () => {
      state = (state + 0x9e3779b9) | 0;
      let z = state;
      z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
      z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
      return (z ^ (z >>> 16)) | 0;
    };
    this.#a = mixed();
    this.#b = mixed();
    this.#c = mixed();
    this.#d = mixed() | 1;
  }

  /** 32 random bits, as a whole number from −2^31 on. */
  bits(): number {
    const a = this.#a;
    const b = this.#b;
    const sum = (a + this.#d) | 0;
    const result = (((sum << 7) | (sum >>> 25)) + a) | 0;
    const c = this.#c ^ a;
    const d = this.#d ^ b;
    this.#b = b ^ c;
    this.#a = a ^ d;
    this.#c = c ^ (b << 9);
    this.#d = (d << 11) | (d >>> 21);
    return result;
  }
}
