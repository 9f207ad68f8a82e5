/**
 * A second opinion on the tempo by `web-audio-beat-detector`, which runs on the page because it needs the
 * browser's audio engine. It looks for loud low notes and counts the intervals between them.
 */
import type { Preview } from '../../workers/stages/preview.ts';
import { breath } from '../shell/idle.ts';
import type { SecondOpinion } from './records.ts';

/** Tempi to look for, bpm: the same as the grid's own range. */
const TEMPO_RANGE = { minTempo: 70, maxTempo: 180 } as const;

/**
 * Peak that the audio is brought to. The detector ignores tracks whose low-passed peak is below 0.25, so a
 * quiet track would get no answer; its own thresholds are relative, and float samples may exceed 1.
 */
const WORKING_PEAK = 4;
/** Below this the track is silence (−90 dBFS) and is not blown up. */
const SILENCE_PEAK = 10 ** (-90 / 20);

/** What the detector's `guess` gives: `tempo` unrounded, `bpm` rounded, `offset` of a beat in seconds. */
export interface Guess {
  bpm: number;
  offset: number;
  tempo?: number;
}

export interface Detector {
  /** Rejects when it finds no beat. */
  guess(buffer: AudioBuffer, settings: { minTempo: number; maxTempo: number }): Promise<Guess>;
  /** Ends the thread that it runs on, which would stand idle for as long as the page is open. */
  end(): void;
}

export interface SecondOpinionTools {
  createBuffer(samples: Float32Array<ArrayBuffer>, sampleRate: number): AudioBuffer;
  loadDetector(): Promise<Detector>;
}

const browserTools: SecondOpinionTools = {
  createBuffer(samples, sampleRate) {
    const buffer = new AudioBuffer({ length: samples.length, numberOfChannels: 1, sampleRate });
    buffer.copyToChannel(samples, 0);
    return buffer;
  },
  // Loaded only when needed. Its two halves are taken by themselves: the package that joins them starts its worker
  // from text, which the page's policy forbids.
  loadDetector: async () => {
    const [{ wrap }, { default: DetectorWorker }] = await Promise.all([
      import('web-audio-beat-detector-broker'),
      import('web-audio-beat-detector-worker?worker'),
    ]);
    const worker = new DetectorWorker();
    const { guess } = wrap(worker);
    return { guess, end: () => worker.terminate() };
  },
};

/**
 * The rate to declare for audio of `sampleRate`. The detector skips a quarter of a second by adding
 * `sampleRate / 4` to its position in the samples: at a rate that 4 does not divide, such as 11025 Hz, it
 * stands between samples from then on and hears nothing more. So the audio is declared at the nearest rate
 * that 4 divides and its answer put right afterwards.
 */
export function declaredRate(sampleRate: number): number {
  return Math.round(sampleRate / 4) * 4;
}

/**
 * Asks the detector.
 * @returns tempo (bpm, unrounded) and the time of a beat (s from the first decoded sample), or null when it
 *   finds no beat or cannot run
 */
export async function secondOpinion(
  { samples, sampleRate, startTime }: Preview,
  tools: SecondOpinionTools = browserTools,
): Promise<{ bpm: number; offset: number } | null> {
  // Each pass goes over some two million samples; the first is asked for while the page shows the track.
  await breath();
  const peak = peakOf(samples);
  if (!(peak > SILENCE_PEAK)) return null;
  await breath();
  const loud = scaled(samples, WORKING_PEAK / peak);
  await breath();
  const rate = declaredRate(sampleRate);
  let detector: Detector | null = null;
  try {
    const buffer = tools.createBuffer(loud, rate);
    detector = await tools.loadDetector();
    const guess = await detector.guess(buffer, TEMPO_RANGE);
    const bpm = ((guess.tempo ?? guess.bpm) * sampleRate) / rate;
    const offset = startTime + (guess.offset * rate) / sampleRate;
    return Number.isFinite(bpm) && bpm > 0 ? { bpm, offset } : null;
  } catch {
    return null; // It throws where it finds no beat; a second opinion that fails must not stop the first.
  } finally {
    detector?.end();
  }
}

function peakOf(samples: Float32Array): number {
  let peak = 0;
  for (let i = 0; i < samples.length; i++) {
    const level = Math.abs(samples[i]);
    if (level > peak) peak = level;
  }
  return peak;
}

function scaled(samples: Float32Array, gain: number): Float32Array<ArrayBuffer> {
  const out = new Float32Array(samples.length);
  for (let i = 0; i < samples.length; i++) out[i] = samples[i] * gain;
  return out;
}

/** The answer as the library keeps it. */
export function asRecord(answer: { bpm: number; offset: number } | null): SecondOpinion {
  return answer ?? { bpm: null, offset: null };
}
