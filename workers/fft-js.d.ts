/** The package fft.js ships no types; this is the part of it that the stages use. */
declare module 'fft.js' {
  export default class FFT {
    /** @param size a power of two, at least 2 */
    constructor(size: number);
    readonly size: number;
    /** An interleaved complex array (re, im, re, im ...) of 2 × size zeros. */
    createComplexArray(): number[];
    /** Fills bins 0..size/2 of `out` (interleaved complex) from `size` real samples. */
    realTransform(out: number[] | Float64Array, data: ArrayLike<number>): void;
    /** Fills the mirrored upper half after `realTransform`. */
    completeSpectrum(out: number[] | Float64Array): void;
    transform(out: number[] | Float64Array, data: ArrayLike<number>): void;
    inverseTransform(out: number[] | Float64Array, data: ArrayLike<number>): void;
  }
}
