/**
 * The stage that keeps a small mono version of the middle of the track, for a second opinion on the tempo by
 * a general-purpose detector that wants audio at once in memory.
 */
import { FLAT_TAPS, HalfBand, STEEP_COUNT, kaiserTaps } from './half-band.ts';
import type { Stage, StreamInfo } from './stage.ts';

/** The preview's rate is the file's, halved while it stays at or above this (Hz). */
export const PREVIEW_MIN_RATE = 11_025;
/** Longest preview, s. */
export const PREVIEW_SECONDS = 180;
/**
 * Latest middle of a preview, s. The end of the track is not known while it streams, so everything from half
 * of what was heard to now must be kept; this bounds it, and past it "the middle" of a long mix means nothing.
 */
export const LATEST_CENTRE_SECONDS = 360;
/** Audio is dropped in pieces of this length, s. */
const PIECE_SECONDS = 10;

/** Odd taps of the last halving, which has to be the steep one. */
const LAST_TAPS = kaiserTaps(STEEP_COUNT, 5);

export interface Preview {
  /** Mono, linear. */
  samples: Float32Array<ArrayBuffer>;
  /** Hz */
  sampleRate: number;
  /** Time of the first sample in the track, s. */
  startTime: number;
}

/** How often the rate is halved for the preview. */
export function previewHalvings(sampleRate: number): number {
  let halvings = 0;
  while (sampleRate / 2 ** (halvings + 1) >= PREVIEW_MIN_RATE) halvings++;
  return halvings;
}

export function createPreviewStage(info: StreamInfo): Stage<Preview> {
  return new PreviewStage(info);
}

class PreviewStage implements Stage<Preview> {
  readonly #rate: number;
  readonly #filters: HalfBand[];
  readonly #weights: number[];
  readonly #pieceLength: number;
  #pieces: Float32Array[] = [];
  /** Pieces that were dropped at the front. */
  #dropped = 0;
  /** Preview samples that were made, kept or not. */
  #count = 0;
  /** Preview samples that the whole track so far would make. */
  #total = 0;
  #mono = new Float32Array(0);

  constructor(info: StreamInfo) {
    const halvings = previewHalvings(info.sampleRate);
    this.#rate = info.sampleRate / 2 ** halvings;
    this.#filters = Array.from(
      { length: halvings },
      (_, i) => new HalfBand(i === halvings - 1 ? LAST_TAPS : FLAT_TAPS),
    );
    this.#weights = monoWeights(info.channels);
    this.#pieceLength = Math.ceil(PIECE_SECONDS * this.#rate);
  }

  push(block: readonly Float32Array[]): void {
    const length = block[0]?.length ?? 0;
    this.#total += length / 2 ** this.#filters.length;
    if (this.#count >= (LATEST_CENTRE_SECONDS + PREVIEW_SECONDS / 2) * this.#rate) return;
    let samples: Float32Array = block[0];
    if (block.length > 1) {
      if (this.#mono.length < length) this.#mono = new Float32Array(length);
      mixDown(block, this.#weights, this.#mono, length);
      samples = this.#mono;
    }
    this.#cascade(samples, length, 0);
  }

  finish(): Preview {
    this.#filters.forEach((filter, i) => {
      const rest = filter.flush();
      this.#cascade(rest, rest.length, i + 1);
    });
    const [start, end] = this.#wanted();
    const samples = new Float32Array(end - start);
    for (let i = start; i < end;) {
      const piece = Math.floor(i / this.#pieceLength);
      const pieceEnd = Math.min(end, (piece + 1) * this.#pieceLength);
      const from = i - piece * this.#pieceLength;
      samples.set(this.#pieces[piece - this.#dropped].subarray(from, from + pieceEnd - i), i - start);
      i = pieceEnd;
    }
    this.#pieces = [];
    return { samples, sampleRate: this.#rate, startTime: start / this.#rate };
  }

  #cascade(samples: Float32Array, length: number, from: number): void {
    for (let i = from; i < this.#filters.length; i++) {
      samples = this.#filters[i].push(samples, length);
      length = samples.length;
    }
    this.#keep(samples, length);
  }

  #keep(samples: Float32Array, length: number): void {
    for (let from = 0; from < length;) {
      const place = this.#count % this.#pieceLength;
      if (place === 0) this.#pieces.push(new Float32Array(this.#pieceLength));
      const take = Math.min(length - from, this.#pieceLength - place);
      this.#pieces[this.#pieces.length - 1].set(samples.subarray(from, from + take), place);
      this.#count += take;
      from += take;
    }
    // The track only gets longer, so the middle only moves on: what is before it is never wanted again.
    while ((this.#dropped + 1) * this.#pieceLength <= this.#wanted()[0]) {
      this.#pieces.shift();
      this.#dropped++;
    }
  }

  /** The preview of a track that ended here: from which sample up to which. */
  #wanted(): [start: number, end: number] {
    const centre = Math.min(this.#total / 2, LATEST_CENTRE_SECONDS * this.#rate);
    const half = (PREVIEW_SECONDS / 2) * this.#rate;
    return [Math.max(0, Math.floor(centre - half)), Math.min(this.#count, Math.floor(centre + half))];
  }
}

/** Weights that sum to 1 and differ, so that channels of opposite sign do not cancel: the first counts twice. */
function monoWeights(channels: number): number[] {
  return Array.from({ length: channels }, (_, c) => (c === 0 ? 2 : 1) / (channels + 1));
}

function mixDown(
  block: readonly Float32Array[],
  weights: number[],
  mono: Float32Array,
  length: number,
): void {
  if (block.length === 2) {
    const [left, right] = block;
    const [a, b] = weights;
    for (let i = 0; i < length; i++) mono[i] = a * left[i] + b * right[i];
    return;
  }
  mono.fill(0, 0, length);
  block.forEach((channel, c) => {
    const weight = weights[c];
    for (let i = 0; i < length; i++) mono[i] += weight * channel[i];
  });
}
