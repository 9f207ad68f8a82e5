/**
 * The streaming part of the harmony: a chroma frame about every 0.37 s, in about 0.8 kB per second of track.
 */
import type { Stage, StreamInfo } from '../stage.ts';
import { decimationTo } from './decimation.ts';
import { Fold } from './fold.ts';
import { CHROMA_BINS, FRAME, HIGHEST_HZ, TonalAnalyser } from './tonal-frame.ts';

/** The rate is halved as long as it stays above this, Hz. */
const LOWEST_RATE = 2500;
/** Samples (at the low rate) from one frame to the next. */
const HOP = FRAME / 2;
const FIRST_CAPACITY = 2048;

export interface HarmonyFeatures {
  /** s from one frame to the next; frame i is centred on i · hop. */
  hop: number;
  /** Number of frames. */
  length: number;
  /** length × CHROMA_BINS weights of notes below BASS_MIDDLE_HZ, frame after frame; bin 0 of each is C. */
  bass: Float32Array;
  /** The same above it. */
  upper: Float32Array;
  /** 0..1 per frame: how much of what is heard are notes. */
  tonal: Float32Array;
  /** Deviation of the track's tuning from A4 = 440 Hz, cents, −50..50. */
  tuningCents: number;
}

/** Streaming chroma of any number of channels at any rate. */
export function createHarmonyStage(info: StreamInfo): Stage<HarmonyFeatures> {
  let factor = 1;
  while (info.sampleRate / (2 * factor) >= LOWEST_RATE) factor *= 2;
  const rate = info.sampleRate / factor;
  const analyser = new TonalAnalyser(rate);
  const frame = new Float32Array(FRAME);
  // Half a frame of silence, so that the first frame is centred on the first sample.
  let filled = FRAME / 2;
  let length = 0;
  let bass = new Float32Array(FIRST_CAPACITY * CHROMA_BINS);
  let upper = new Float32Array(FIRST_CAPACITY * CHROMA_BINS);
  let tonal = new Float32Array(FIRST_CAPACITY);

  const analyse = () => {
    if (length === tonal.length) {
      bass = doubled(bass);
      upper = doubled(upper);
      tonal = doubled(tonal);
    }
    const found = analyser.analyse(frame);
    bass.set(found.bass, length * CHROMA_BINS);
    upper.set(found.upper, length * CHROMA_BINS);
    tonal[length++] = found.tonal;
    frame.copyWithin(0, HOP);
    filled = FRAME - HOP;
  };
  const gather = (samples: Float32Array) => {
    for (let from = 0; from < samples.length;) {
      const count = Math.min(samples.length - from, FRAME - filled);
      frame.set(samples.subarray(from, from + count), filled);
      filled += count;
      from += count;
      if (filled === FRAME) analyse();
    }
  };

  const chain = decimationTo(rate, factor, HIGHEST_HZ, gather);
  const fold = new Fold(chain.push);

  return {
    push: (block) => fold.push(block),
    finish() {
      chain.finish();
      if (filled > FRAME / 2) gather(new Float32Array(FRAME - filled));
      const { re, im } = analyser.tuning;
      return {
        hop: HOP / rate,
        length,
        bass: bass.slice(0, length * CHROMA_BINS),
        upper: upper.slice(0, length * CHROMA_BINS),
        tonal: tonal.slice(0, length),
        tuningCents: re || im ? (Math.atan2(im, re) / (2 * Math.PI)) * 100 : 0,
      };
    },
  };
}

function doubled(values: Float32Array<ArrayBuffer>): Float32Array<ArrayBuffer> {
  const larger = new Float32Array(values.length * 2);
  larger.set(values);
  return larger;
}
