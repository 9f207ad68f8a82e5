/**
 * Lossy formats against ffmpeg's decoding of the same file (https://ffmpeg.org/documentation.html): same length,
 * no lag, and a difference far below what can be heard. Against the encoded source: no lag either.
 */
import { describe, expect, it } from 'vitest';
import { bestLag, decodeFile, errorDb } from '../fixtures/decoded.ts';
import { encoded, haveFfmpeg, reference, signalWav } from '../fixtures/ffmpeg.ts';
import { testSignal } from '../fixtures/signal.ts';

const SECONDS = 1.2;
/** Samples of lag that are looked at on both sides. */
const REACH = 1200;

interface Case {
  file: string;
  args: string[];
  codec: string;
  rates: number[];
  channels: number[];
  /** Level of the difference to ffmpeg that is allowed, dB. */
  errorDb: number;
  /** Decoder that ffmpeg is asked to use. */
  by?: string;
}

const ALL = [8000, 22050, 44100, 48000, 96000, 192000];
const CASES: Case[] = [
  {
    file: 'v.mp3',
    args: ['-q:a', '2'],
    codec: 'mp3',
    rates: [8000, 22050, 44100, 48000],
    channels: [1, 2],
    errorDb: -100,
  },
  {
    file: 'c.mp3',
    args: ['-b:a', '320k'],
    codec: 'mp3',
    rates: [44100, 48000],
    channels: [1, 2],
    errorDb: -100,
  },
  {
    file: 'a.ogg',
    args: ['-c:a', 'libvorbis'],
    codec: 'vorbis',
    rates: ALL,
    channels: [1, 2, 6],
    errorDb: -110,
  },
  {
    file: 'a.opus',
    args: ['-b:a', '160k'],
    codec: 'opus',
    rates: [8000, 44100, 48000],
    channels: [1, 2, 6],
    errorDb: -90,
    by: 'libopus',
  },
  // Noise substitution is left out: it is random by ISO/IEC 14496-3 section 4.6.13, two decoders never agree on it.
  {
    file: 'a.m4a',
    args: ['-aac_pns', '0'],
    codec: 'aac',
    rates: [8000, 22050, 44100, 48000, 96000],
    channels: [1, 2],
    errorDb: -95,
  },
  {
    file: 'a.aac',
    args: ['-aac_pns', '0'],
    codec: 'aac',
    rates: [22050, 44100, 48000],
    channels: [1, 2],
    errorDb: -95,
  },
  {
    file: 'a.mp2',
    args: ['-b:a', '192k'],
    codec: 'mp2',
    rates: [44100, 48000],
    channels: [1, 2],
    errorDb: -80,
  },
];

describe.skipIf(!haveFfmpeg())('lossy formats agree with ffmpeg in time and level', () => {
  for (const c of CASES)
    it(`${c.file}: every rate and channel count`, async () => {
      for (const rate of c.rates)
        for (const channels of c.channels) {
          const what = `${c.file} ${rate} Hz ${channels} ch`;
          const path = encoded(signalWav(rate, channels, SECONDS), c.file, c.args);
          const { track, samples } = await decodeFile(path);
          const outRate = c.codec === 'opus' ? 48000 : rate;
          expect(track.format, what).toMatchObject({
            codec: c.codec,
            sampleRate: outRate,
            channels,
            lossless: false,
          });
          expect(track.partial, what).toBeNull();
          const wanted = reference(path, channels, c.by);
          // ffmpeg plays the padding at the end of an AAC file, which the edit list leaves out.
          const surplus = wanted[0].length - samples[0].length;
          expect(surplus, what).toBeGreaterThanOrEqual(0);
          expect(surplus, what).toBeLessThan(c.file === 'a.m4a' ? 1024 : 1);
          for (let ch = 0; ch < channels; ch++) {
            expect(bestLag(wanted[ch], samples[ch], 8), `${what} lag ${ch}`).toBe(0);
            expect(errorDb(wanted[ch], samples[ch]), `${what} error ${ch}`).toBeLessThan(c.errorDb);
          }
          expect(track.declaredDuration! * outRate, what).toBeCloseTo(samples[0].length, -4);
        }
    });

  it('puts the source’s first sample at time 0 where the file states its delay', async () => {
    const source = testSignal(44100, 2, SECONDS)[0];
    for (const [file, args] of [
      ['t.mp3', ['-b:a', '192k']],
      ['t.m4a', ['-b:a', '192k']],
      ['t.ogg', ['-c:a', 'libvorbis', '-q:a', '6']],
    ] as const) {
      const { samples } = await decodeFile(encoded(signalWav(44100, 2, SECONDS), file, [...args]));
      expect(bestLag(source, samples[0], REACH), file).toBe(0);
      expect(samples[0].length, file).toBe(source.length);
    }
  });

  it('keeps the delay, as ffmpeg does, where an MP3 does not state it', async () => {
    const path = encoded(signalWav(44100, 2, SECONDS), 'bare.mp3', ['-write_xing', '0', '-b:a', '128k']);
    const { samples } = await decodeFile(path);
    const wanted = reference(path, 2);
    expect(samples[0].length).toBe(wanted[0].length);
    expect(bestLag(wanted[0], samples[0], 8)).toBe(0);
    // LAME's delay of 576 and the decoder's 529 (http://gabriel.mp3-tech.org/mp3infotag.html)
    expect(bestLag(testSignal(44100, 2, SECONDS)[0], samples[0], REACH)).toBe(576 + 529);
  });

  it('states the duration of a bare MP3 within a frame, at constant and nearly at variable rate', async () => {
    const cbr = await decodeFile(
      encoded(signalWav(44100, 2, SECONDS), 'cbr.mp3', [
        '-write_xing',
        '0',
        '-b:a',
        '128k',
        '-id3v2_version',
        '0',
      ]),
    );
    expect(Math.abs(cbr.track.declaredDuration! * 44100 - cbr.samples[0].length)).toBeLessThan(1152);
    const vbr = await decodeFile(
      encoded(signalWav(44100, 2, SECONDS), 'vbr.mp3', ['-write_xing', '0', '-q:a', '4']),
    );
    expect(vbr.track.declaredDuration! * 44100).toBeCloseTo(vbr.samples[0].length, -4);
  });

  it('reads fragmented MP4', async () => {
    const path = encoded(signalWav(44100, 2, SECONDS), 'fragmented.mp4', [
      ...['-c:a', 'alac', '-sample_fmt', 's16p'],
      ...['-movflags', 'frag_keyframe+empty_moov', '-frag_duration', '300000'],
    ]);
    const { samples } = await decodeFile(path);
    const wanted = reference(path, 2);
    expect(samples[0].length).toBe(wanted[0].length);
    expect(errorDb(wanted[0], samples[0])).toBe(-Infinity);
  });
});
