/** Bad files: each gets its sentence, none stops or hangs the decoder. Signatures are those of the formats' own specifications. */
import { describe, expect, it } from 'vitest';
import { openTrack } from '../../workers/decode/open.ts';
import { fileSource } from '../../workers/decode/node-source.ts';
import { bytesSource } from '../../workers/decode/source.ts';
import { clock } from '../../workers/decode/sentences.ts';
import { DecodeFault } from '../../workers/decode/types.ts';
import { decodeAll, decodeBytes, worstDifference } from '../fixtures/decoded.ts';
import { bytesOf, encoded, haveFfmpeg, signalWav } from '../fixtures/ffmpeg.ts';
import { seeded } from '../fixtures/signal.ts';

const utf8 = (text: string) => new TextEncoder().encode(text);

async function faultOf(bytes: Uint8Array, name: string): Promise<DecodeFault> {
  const error: unknown = await decodeBytes(bytes, name).catch((e: unknown) => e);
  expect(error).toBeInstanceOf(DecodeFault);
  const fault = error as DecodeFault;
  expect(fault.message).toContain(name);
  // One sentence: it ends once.
  expect(fault.message.replaceAll(name, '')).toMatch(/^[^.!?]+\.$/);
  return fault;
}

const noise = (length: number, seed: number) => {
  const random = seeded(seed);
  return Uint8Array.from({ length }, () => Math.floor(random() * 256));
};

describe('files that are not audio', () => {
  const CASES: [name: string, bytes: Uint8Array, code: string, words: RegExp][] = [
    ['nothing.mp3', new Uint8Array(0), 'empty', /empty/],
    ['page.mp3', utf8('<!DOCTYPE html>\n<html><body>Please log in</body></html>'), 'not-audio', /web page/],
    [
      'notes.wav',
      utf8('Set list for Saturday: start slow, end at dawn.\n'.repeat(40)),
      'not-audio',
      /text file/,
    ],
    [
      'cover.mp3',
      Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 16, ...utf8('JFIF'), ...noise(4000, 3)),
      'not-audio',
      /JPEG/,
    ],
    ['set.zip', Uint8Array.of(0x50, 0x4b, 3, 4, ...noise(2000, 4)), 'not-audio', /ZIP/],
    [
      'old.wma',
      Uint8Array.of(0x30, 0x26, 0xb2, 0x75, 0x8e, 0x66, 0xcf, 0x11, ...noise(900, 5)),
      'unsupported-codec',
      /WMA/,
    ],
    ['fine.dsf', utf8('DSD ' + '\0'.repeat(60)), 'unsupported-codec', /DSD/],
    ['tag.mp3', Uint8Array.of(...utf8('ID3'), 3, 0, 0, 0, 0, 8, 0, ...noise(300, 6)), 'damaged', /damaged/],
  ];
  for (const [name, bytes, code, words] of CASES)
    it(name, async () => {
      const fault = await faultOf(bytes, name);
      expect(fault.code).toBe(code);
      expect(fault.message).toMatch(words);
    });

  it('random bytes are never taken for audio', async () => {
    for (let seed = 1; seed <= 40; seed++)
      expect((await faultOf(noise(50_000, seed), 'noise.mp3')).code).toBe('not-audio');
  });

  it('a file that is not there', async () => {
    await expect(fileSource('/nowhere/at all.wav')).rejects.toMatchObject({ code: 'unreadable' });
  });

  it('a drive that is pulled while reading', async () => {
    const source = bytesSource(new Uint8Array(100_000), 'gone.wav');
    source.read = () => Promise.reject(new Error('EIO'));
    await expect(openTrack(source)).rejects.toMatchObject({ code: 'unreadable' });
  });
});

interface Kind {
  file: string;
  args: string[];
}
/** Pages of a tenth of a second; ffmpeg's of a whole one would leave a short file with two. */
const SHORT_PAGES = ['-page_duration', '100000'];
const KINDS: Kind[] = [
  { file: 'm.wav', args: ['-c:a', 'pcm_s16le'] },
  { file: 'm.aiff', args: [] },
  { file: 'm.flac', args: ['-sample_fmt', 's16'] },
  { file: 'm.mp3', args: ['-b:a', '128k'] },
  { file: 'm.ogg', args: ['-c:a', 'libvorbis', ...SHORT_PAGES] },
  { file: 'flac.ogg', args: ['-c:a', 'flac', '-sample_fmt', 's16', ...SHORT_PAGES] },
  { file: 'm.opus', args: SHORT_PAGES },
  { file: 'alac.m4a', args: ['-c:a', 'alac', '-sample_fmt', 's16p', '-movflags', '+faststart'] },
  { file: 'm.m4a', args: ['-movflags', '+faststart'] },
  { file: 'm.aac', args: [] },
];
const RATE = 22050;
const SECONDS = 1.5;
const MUTATIONS = 200;
const make = ({ file, args }: Kind) => bytesOf(encoded(signalWav(RATE, 2, SECONDS), file, args));

describe.skipIf(!haveFfmpeg())('files that are cut short', () => {
  for (const kind of KINDS)
    it(kind.file, async () => {
      const whole = make(kind);
      const full = await decodeBytes(whole, kind.file);
      for (const share of [0.02, 0.2, 0.5, 0.8, 0.97]) {
        const bytes = whole.slice(0, Math.floor(whole.length * share));
        const outcome = await decodeBytes(bytes, 'cut.bin').catch((e: unknown) => e);
        if (outcome instanceof DecodeFault) {
          // Only what stands before the first samples may be missing entirely.
          expect(share).toBeLessThan(0.5);
          continue;
        }
        const { track, samples } = outcome as Awaited<ReturnType<typeof decodeBytes>>;
        expect(track.partial?.reason, `${share}`).toBe('truncated');
        expect(track.partial!.sentence).toContain('cut.bin');
        expect(track.partial!.sentence).toContain(clock(samples[0].length / track.format.sampleRate));
        expect(samples[0].length).toBeLessThan(full.samples[0].length);
        // What was read is what the whole file has there.
        const before = samples.map((x) => x.slice(0, Math.max(0, x.length - 4096)));
        if (kind.file !== 'm.m4a' && kind.file !== 'm.aac')
          expect(worstDifference(before, full.samples), `${share}`).toBeLessThan(1e-6);
      }
    });

  it('cut inside the header: a fault, never a crash', async () => {
    for (const kind of KINDS) {
      const whole = make(kind);
      for (const length of [1, 3, 4, 7, 8, 11, 12, 20, 27, 40, 43]) {
        const outcome = await decodeBytes(whole.slice(0, length), 'stub.bin').catch((e: unknown) => e);
        expect(outcome, `${kind.file} ${length}`).toBeInstanceOf(DecodeFault);
      }
    }
  });

  it('an M4A whose table of contents stood in the part that is missing', async () => {
    const whole = bytesOf(encoded(signalWav(RATE, 2, SECONDS), 'end.m4a', []));
    expect((await faultOf(whole.slice(0, whole.length >> 1), 'end.m4a')).code).toBe('damaged');
  });
});

describe.skipIf(!haveFfmpeg())('files that are damaged', () => {
  for (const kind of KINDS)
    it(`${kind.file}: ${MUTATIONS} mutations give audio or a fault`, async () => {
      const clean = make(kind);
      const random = seeded(20_26);
      for (let i = 0; i < MUTATIONS; i++) {
        const bytes = clean.slice();
        const reach = random() < 0.4 ? Math.min(600, bytes.length) : bytes.length;
        for (let k = 1 + Math.floor(random() * 20); k > 0; k--)
          bytes[Math.floor(random() * reach)] = Math.floor(random() * 256);
        const outcome = await decodeBytes(bytes, kind.file).catch((e: unknown) => e);
        if (outcome instanceof DecodeFault) continue;
        if (outcome instanceof Error) throw outcome;
        const { samples, track } = outcome as Awaited<ReturnType<typeof decodeBytes>>;
        expect(samples[0].length).toBeGreaterThan(0);
        expect(samples.length).toBe(track.format.channels);
        for (const x of samples) expect(x.every(Number.isFinite), `mutation ${i}`).toBe(true);
      }
    });

  for (const file of ['m.flac', 'm.opus', 'flac.ogg', 'alac.m4a'])
    it(`${file}: what follows the damage keeps its place in time`, async () => {
      const kind = KINDS.find((k) => k.file === file)!;
      const clean = make(kind);
      const whole = await decodeBytes(clean, file);
      const bytes = clean.slice();
      const hole = Math.floor(bytes.length * (file.includes('opus') ? 0.45 : 0.5));
      bytes.fill(0x55, hole, hole + 300);
      const { track, samples } = await decodeBytes(bytes, file);
      expect(track.partial?.reason).toBe('damaged');
      expect(samples[0].length).toBe(whole.samples[0].length);
      const tail = (x: Float32Array) => x.subarray(Math.floor(x.length * 0.97));
      // Opus needs some frames to find its state again (RFC 6716 section 4.5.2); lossless codecs are exact.
      const tolerance = file.includes('opus') ? 0.05 : 0;
      expect(worstDifference(whole.samples.map(tail), samples.map(tail))).toBeLessThanOrEqual(tolerance);
    });

  it('an MP3 with a hole goes on after it', async () => {
    const bytes = make(KINDS[3]);
    bytes.fill(0, bytes.length >> 1, (bytes.length >> 1) + 1500);
    const { track, samples } = await decodeBytes(bytes, 'hole.mp3');
    expect(track.partial?.reason).toBe('damaged');
    expect(samples[0].length / RATE).toBeGreaterThan(SECONDS * 0.8);
  });
});

describe.skipIf(!haveFfmpeg())('cancel and progress', () => {
  it('throws AbortError once the signal is set, before and while decoding', async () => {
    const source = bytesSource(make(KINDS[2]), 'c.flac');
    await expect(openTrack(source, { signal: AbortSignal.abort() })).rejects.toMatchObject({
      name: 'AbortError',
    });
    const cancel = new AbortController();
    const track = await openTrack(source, { signal: cancel.signal });
    const read = async () => {
      for await (const _ of track.blocks()) cancel.abort();
    };
    await expect(read()).rejects.toMatchObject({ name: 'AbortError' });
  });

  it('progress never falls and ends at 1', async () => {
    for (const kind of KINDS) {
      const seen: number[] = [];
      await decodeAll(bytesSource(make(kind), kind.file), { onProgress: (share) => void seen.push(share) });
      expect(seen.at(-1), kind.file).toBe(1);
      for (let i = 1; i < seen.length; i++) expect(seen[i]).toBeGreaterThan(seen[i - 1]);
    }
  });

  it('prints nothing, whatever the file', async () => {
    const printed: unknown[] = [];
    const { error, warn, log } = console;
    console.error = console.warn = console.log = (...all: unknown[]) => void printed.push(all);
    try {
      const bytes = make(KINDS[3]);
      const random = seeded(5);
      for (let k = 0; k < 200; k++) bytes[1000 + Math.floor(random() * (bytes.length - 1000))] ^= 0xff;
      await decodeBytes(bytes, 'spoilt.mp3').catch(() => {});
    } finally {
      Object.assign(console, { error, warn, log });
    }
    expect(printed).toEqual([]);
  });
});
