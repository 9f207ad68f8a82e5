/**
 * The stage that keeps a small mono version of the middle of the track, for a second opinion on the tempo by
 * a general-purpose detector that wants audio at once in memory.
 */
import { FLAT_TAPS, halfBand, kaiserTaps } from './half-band.ts';
import { Halver } from './halver.ts';
import { MIX_FRAMES, type MonoMix, createMonoMix } from './mono-mix.ts';
import { release } from '../release.ts';
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

/** Odd taps on each side of the last halving, which has to be the steep one. */
const LAST_TAPS = kaiserTaps(8, 5);

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
  readonly #halvers: Halver[] = [];
  /** Where the mixed samples go: the first halver, or the store. */
  readonly #first: (samples: Float32Array) => void;
  readonly #mix: MonoMix;
  readonly #weights: number[];
  readonly #pieceLength: number;
  #pieces: Float32Array[] = [];
  /** Pieces that were dropped at the front. */
  #dropped = 0;
  /** Preview samples that were made, kept or not. */
  #count = 0;
  /** Preview samples that the whole track so far would make. */
  #total = 0;

  constructor(info: StreamInfo) {
    const halvings = previewHalvings(info.sampleRate);
    this.#rate = info.sampleRate / 2 ** halvings;
    // From the last step to the first, as each needs to know where its output goes.
    let sink = (samples: Float32Array) => this.#keep(samples);
    for (let i = 0; i < halvings; i++) {
      const halver = new Halver(halfBand(i === 0 ? LAST_TAPS : FLAT_TAPS), sink);
      this.#halvers.unshift(halver);
      sink = (samples) => halver.push(samples);
    }
    this.#first = sink;
    this.#mix = createMonoMix(info.channels);
    this.#weights = monoWeights(info.channels);
    this.#pieceLength = Math.ceil(PIECE_SECONDS * this.#rate);
  }

  push(block: readonly Float32Array[]): void {
    const length = block[0]?.length ?? 0;
    this.#total += length / 2 ** this.#halvers.length;
    if (this.#count >= (LATEST_CENTRE_SECONDS + PREVIEW_SECONDS / 2) * this.#rate) return this.#drop();
    for (let from = 0; from < length; from += MIX_FRAMES)
      this.#first(this.#mix.mix(block, this.#weights, from, Math.min(length, from + MIX_FRAMES)));
  }

  finish(): Preview {
    for (const halver of this.#halvers) halver.finish();
    const [start, end] = this.#wanted();
    const samples = new Float32Array(end - start);
    for (let i = start; i < end;) {
      const piece = Math.floor(i / this.#pieceLength);
      const pieceEnd = Math.min(end, (piece + 1) * this.#pieceLength);
      const from = i - piece * this.#pieceLength;
      samples.set(this.#pieces[piece - this.#dropped].subarray(from, from + pieceEnd - i), i - start);
      i = pieceEnd;
    }
    this.#pieces.forEach(release);
    this.#pieces = [];
    return { samples, sampleRate: this.#rate, startTime: start / this.#rate };
  }

  #keep(samples: Float32Array): void {
    const { length } = samples;
    for (let from = 0; from < length;) {
      const place = this.#count % this.#pieceLength;
      if (place === 0) this.#pieces.push(new Float32Array(this.#pieceLength));
      const take = Math.min(length - from, this.#pieceLength - place);
      this.#pieces[this.#pieces.length - 1].set(samples.subarray(from, from + take), place);
      this.#count += take;
      from += take;
    }
    this.#drop();
  }

  /** The track only gets longer, so the middle only moves on: what is before it is never wanted again. */
  #drop(): void {
    while ((this.#dropped + 1) * this.#pieceLength <= this.#wanted()[0]) {
      release(this.#pieces.shift()!);
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
