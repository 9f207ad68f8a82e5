/**
 * Levels: a sine whose peak is full scale has 0 dBFS (AES17-2020 section 3.12); 997 Hz is its standard test frequency,
 * which visits nearly every code. Its RMS is 3.01 dB below its peak.
 */
import { describe, expect, it } from 'vitest';
import { decodeFile, rms } from '../fixtures/decoded.ts';
import { encoded, haveFfmpeg, reference, wavOf } from '../fixtures/ffmpeg.ts';
import { sine } from '../fixtures/signal.ts';

const RATE = 48000;
const SINE_RMS_DB = -3.0103;
/** Two decoders of one file may differ by this much, dB. */
const DECODERS_AGREE = 0.001;

const FORMATS: [file: string, args: string[], toleranceDb: number][] = [
  ['l.wav', ['-c:a', 'pcm_s16le'], 0.001],
  ['l.wav', ['-c:a', 'pcm_u8'], 0.05],
  ['l.aiff', ['-c:a', 'pcm_s24be'], 0.001],
  ['l.flac', ['-sample_fmt', 's16'], 0.001],
  ['l.m4a', ['-c:a', 'alac', '-sample_fmt', 's16p'], 0.001],
  ['l.mp3', ['-b:a', '320k'], 0.05],
  // These two encoders miss the level themselves: ffmpeg's decoding of the same files is off by the same amount
  // (measured: AAC −0.42 dB at 0 dBFS, Vorbis +0.09 dB), which the second check holds us to.
  ['a.m4a', ['-b:a', '256k'], 0.45],
  ['l.ogg', ['-c:a', 'libvorbis', '-q:a', '9'], 0.1],
  ['l.opus', ['-b:a', '256k'], 0.1],
];

describe.skipIf(!haveFfmpeg())('997 Hz sines come out at their level', () => {
  for (const [file, args, tolerance] of FORMATS)
    for (const dbfs of [0, -20])
      it(`${file} ${args[1]} ${dbfs} dBFS`, async () => {
        const wave = wavOf(sine(RATE, 2, 1, 997, dbfs), RATE, 'sine');
        const path = encoded(wave, file, args);
        const { samples } = await decodeFile(path);
        const wanted = reference(path, 2, file === 'l.opus' ? 'libopus' : undefined);
        // The middle, away from the edges that lossy codecs smear.
        const levelOf = (x: Float32Array) => 20 * Math.log10(rms(x, RATE / 4, (3 * RATE) / 4));
        samples.forEach((x, c) => {
          expect(Math.abs(levelOf(x) - (dbfs + SINE_RMS_DB))).toBeLessThan(tolerance);
          expect(Math.abs(levelOf(x) - levelOf(wanted[c]))).toBeLessThan(DECODERS_AGREE);
        });
      });
});
