/**
 * Copies as files: read by ffprobe and ffmpeg (https://ffmpeg.org/), by sox (https://sox.sourceforge.net/) and by
 * our own decoder.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { SourceFormat } from '../../shared/analysis.ts';
import { inOrder, type Marker } from '../../shared/markers/marker.ts';
import { prepareCopy } from '../../workers/copy/copy.ts';
import { layOut } from '../../workers/copy/layout.ts';
import { planCopy, safestFor, type LoadingDeck } from '../../workers/copy/plan.ts';
import { CopyFault, type CopyWish } from '../../workers/copy/types.ts';
import { bytesSource } from '../../workers/decode/source.ts';
import { readAllTags, readTags } from '../../workers/decode/tags.ts';
import type { ByteSource } from '../../workers/decode/types.ts';
import { readMarkers } from '../../workers/write/copy.ts';
import { decodeBytes, errorDb, worstDifference } from '../fixtures/decoded.ts';
import { bytesOf, encoded, haveFfmpeg, reference, signalWav } from '../fixtures/ffmpeg.ts';
import { floatWav } from '../fixtures/signal.ts';
import { onDisk } from '../write/files.ts';
import { copied, sine, throughCopy } from './support.ts';

const sameBytes = (a: Uint8Array, b: Uint8Array) => Buffer.compare(a, b) === 0;

function haveSox(): boolean {
  if (spawnSync('sox', ['--version'], { stdio: 'ignore' }).status === 0) return true;
  if (existsSync('/usr/bin/apt-get')) throw new Error('sox is missing: apt-get install sox');
  console.log('skipped: sox is not installed and there is no apt to install it');
  return false;
}

const TAGS = {
  title: 'Night Ferry – dub 夜',
  artist: 'Lena Quay',
  album: 'Low Tide',
  genre: 'Dub',
  comment: 'grün & ‘quiet’',
};
const META = Object.entries(TAGS).flatMap(([k, value]) => ['-metadata', `${k}=${value}`]);

const MARKERS: Marker[] = inOrder([
  { kind: 'cue', id: 'a', time: 0.1003, name: 'First beat', importance: 3, slot: 1, colour: '#c05a2b' },
  { kind: 'mark', id: 'b', time: 0.45, name: 'Dröp – 夜', importance: 2 },
  { kind: 'loop', id: 'c', time: 0.7, name: '', importance: 1, endTime: 0.95, beats: 0.5 },
]);

interface Probe {
  streams: {
    codec_name: string;
    sample_rate: string;
    channels: number;
    bits_per_sample: number;
    duration: string;
  }[];
  format: { format_name: string; tags?: Record<string, string> };
  chapters: { start_time: string; tags?: Record<string, string> }[];
}
const probe = (path: string): Probe =>
  JSON.parse(
    execFileSync('ffprobe', [
      ...['-v', 'error', '-show_streams', '-show_format', '-show_chapters', '-of', 'json', path],
    ]).toString(),
  );
const soxSays = (path: string, flag: string) => execFileSync('soxi', [flag, path]).toString().trim();

const WISHES: CopyWish[] = (['wav', 'aiff'] as const).flatMap((container) =>
  ([16, 24] as const).flatMap((depth) =>
    ([44100, 48000] as const).map((rate) => ({ container, depth, rate })),
  ),
);
const nameOf = (w: CopyWish) => `${w.container} ${w.depth} bit ${w.rate} Hz`;

describe.skipIf(!haveFfmpeg() || !haveSox())('a copy', () => {
  describe.each(WISHES.map((w) => [nameOf(w), w] as const))('as %s', (_, wish) => {
    it.each([
      ['flac', 48000, 2, ['-sample_fmt', 's32', ...META]],
      ['mp3', 44100, 1, ['-b:a', '192k', ...META]],
      ['ogg', 44100, 2, ['-c:a', 'libvorbis', ...META]],
    ] as const)(
      'of a file .%s is what others read, with its tags and markers',
      async (ending, rate, channels, args) => {
        const file = `copy-in.${ending}`;
        const before = bytesOf(encoded(signalWav(rate, channels, 1.5), file, [...args]));
        // ffmpeg puts an MP3's comment into a frame of its own making, which is no comment to others.
        const tags = Object.entries(TAGS).filter(([key]) => ending !== 'mp3' || key !== 'comment');
        const snapshot = before.slice();
        const { bytes, report } = await copied(bytesSource(before, file), wish, { markers: MARKERS });
        expect(sameBytes(before, snapshot)).toBe(true);
        expect(report.fileName).toBe(`copy-in.${wish.container}`);
        const path = onDisk(bytes, report.fileName);

        const told = probe(path);
        const end = wish.container === 'wav' ? 'le' : 'be';
        expect(told.streams).toHaveLength(1 + (report.carried.cover ? 1 : 0));
        expect(told.streams[0]).toMatchObject({
          codec_name: `pcm_s${wish.depth}${end}`,
          sample_rate: String(wish.rate),
          channels,
        });
        expect(Number(told.streams[0].duration)).toBeCloseTo(report.duration, 5);
        expect(told.format.format_name).toBe(wish.container);
        for (const [key, value] of tags) expect(told.format.tags?.[key], key).toBe(value);
        expect(await readTags(bytesSource(bytes, 'x'))).toMatchObject(Object.fromEntries(tags));
        expect(report.carried).toEqual({
          tags: tags.map(([key]) => key),
          cover: false,
          markers: 3,
        });
        const back = await readMarkers(bytesSource(bytes, 'x'), { fileName: 'x', duration: 1.5 });
        expect(back.markers).toEqual(MARKERS);
        if (wish.container === 'aiff') expect(told.chapters).toHaveLength(3);

        expect(soxSays(path, '-r')).toBe(String(wish.rate));
        expect(soxSays(path, '-b')).toBe(String(wish.depth));
        expect(soxSays(path, '-c')).toBe(String(channels));
        expect(soxSays(path, '-s')).toBe(String(Math.round(report.duration * wish.rate)));
        const stderr = spawnSync('sox', [path, '-n', 'stat']).stderr.toString();
        expect(stderr).not.toMatch(/WARN|FAIL/);

        const ours = await decodeBytes(bytes, report.fileName);
        expect(ours.track.partial).toBeNull();
        expect(ours.track.format).toMatchObject({
          container: wish.container,
          bitDepth: wish.depth,
          codec: 'pcm',
        });
        expect(worstDifference(ours.samples, reference(path, channels))).toBe(0);
      },
    );
  });

  it('has the tags that the app itself has no use for, and tells what it does not have', async () => {
    const further = {
      composer: 'Ada Wren/Bo Tarn',
      publisher: 'Kiln Records',
      album_artist: 'Various Ferries',
      copyright: '2026 Kiln Records – 夜',
      track: '3/12',
      disc: '1/2',
    };
    const flac: Record<string, string> = {
      ...{ ALBUMARTIST: further.album_artist, LABEL: further.publisher, COPYRIGHT: further.copyright },
      ...{ COMPOSER: further.composer, TRACKNUMBER: '3', TRACKTOTAL: '12', DISCNUMBER: '1', DISCTOTAL: '2' },
      ...{ REMIXER: 'Ilse Vane', CATALOGNUMBER: 'KLN 012', MOOD: 'grün', LYRICS: 'la', ARRANGER: 'Cy Holm' },
    };
    const given = Object.entries(flac).flatMap(([key, value]) => ['-metadata', `${key}=${value}`]);
    const before = bytesOf(encoded(signalWav(44100, 2, 1), 'further.flac', [...META, ...given]));
    for (const container of ['wav', 'aiff'] as const) {
      const wish = { container, depth: 16, rate: 44100 } as const;
      const { bytes, report } = await copied(bytesSource(before, 'further.flac'), wish);
      // ffprobe looks at a WAV's INFO list only.
      if (container === 'aiff') {
        const { tags } = probe(onDisk(bytes, report.fileName)).format;
        expect(tags).toMatchObject({ ...further, CATALOGNUMBER: 'KLN 012', MOOD: 'grün' });
      }
      const back = await readAllTags(bytesSource(bytes, 'x'));
      expect(back.further).toMatchObject({
        composer: further.composer,
        label: further.publisher,
        catalogueNumber: 'KLN 012',
        albumArtist: further.album_artist,
        remixer: 'Ilse Vane',
        trackNumber: '3/12',
        discNumber: '1/2',
      });
      expect(back.left).toEqual([]);
      expect(report.carried.tags).toEqual(expect.arrayContaining(['composer', 'label', 'mood', 'remixer']));
      const [note] = report.notes.filter((n) => n.startsWith('Not in the copy'));
      expect(note).toMatch(/^Not in the copy: (lyrics and arranger|arranger and lyrics)\.$/);
    }
  });

  it('has another title where one is asked for, and no heavy cover where that slows a deck down', async () => {
    const wish = { container: 'wav', depth: 16, rate: 44100 } as const;
    const plain = bytesOf(encoded(signalWav(44100, 2, 1), 'p.wav', ['-c:a', 'pcm_s16le', ...META]));
    const { report: same } = await copied(bytesSource(plain, 'p.wav'), wish);
    expect(same.kind).toBe('unchanged');
    const { bytes, report } = await copied(bytesSource(plain, 'p.wav'), wish, { title: 'Ferry (Night)' });
    expect(report.kind).toBe('exact');
    expect(await readTags(bytesSource(bytes, 'x'))).toMatchObject({ ...TAGS, title: 'Ferry (Night)' });
    expect(probe(onDisk(bytes, report.fileName)).format.tags?.title).toBe('Ferry (Night)');

    const covered = bytesOf(
      encoded(signalWav(44100, 2, 1), 'covered.mp3', [
        ...['-f', 'lavfi', '-i', 'color=c=red:s=64x64:d=1', '-map', '0:a', '-map', '1:v', '-frames:v', '1'],
        ...['-c:v', 'png', '-disposition:v', 'attached_pic', '-b:a', '192k'],
      ]),
    );
    const whole = await copied(bytesSource(covered, 'covered.mp3'), wish);
    expect(whole.report.carried.cover).toBe(true);
    const light = await copied(bytesSource(covered, 'covered.mp3'), wish, { mostCoverBytes: 100 });
    expect(light.report.carried.cover).toBe(false);
    expect(light.report.notes.join(' ')).toContain('The cover is not in the copy');
    expect((await readTags(bytesSource(light.bytes, 'x'))).cover).toBeNull();
  });

  it.each([
    ['w.wav', 'wav', 16, ['-c:a', 'pcm_s16le', ...META]],
    ['w.wav', 'wav', 24, ['-c:a', 'pcm_s24le', '-fflags', '+bitexact', '-rf64', 'never']],
    ['a.aiff', 'aiff', 16, ['-c:a', 'pcm_s16be', '-write_id3v2', '1', ...META]],
  ] as const)(
    'of %s that is %s of %i bits already has the same bytes',
    async (file, container, depth, args) => {
      let before: Uint8Array = bytesOf(encoded(signalWav(44100, 2, 1.5), file, [...args]));
      if (depth === 24) before = plainTag(before);
      const wish = { container, depth, rate: 44100 } as const;
      const { bytes, report } = await copied(bytesSource(before, file), wish);
      expect(report).toMatchObject({ kind: 'unchanged', gainDb: 0, dithered: false, resampled: false });
      expect(sameBytes(bytes, before)).toBe(true);
      // With markers the audio's bytes are still the same.
      const marked = await copied(bytesSource(before, file), wish, { markers: MARKERS });
      expect(marked.report).toMatchObject({ kind: 'unchanged', carried: { markers: 3 } });
      const decoded = await Promise.all([before, marked.bytes].map((b) => decodeBytes(b, file)));
      expect(worstDifference(decoded[0].samples, decoded[1].samples)).toBe(0);
    },
  );

  /** ffmpeg writes 24 bits with the extensible tag; this makes it the plain one, which readers take as well. */
  function plainTag(bytes: Uint8Array): Uint8Array {
    const text = Buffer.from(bytes);
    const at = text.indexOf('fmt ') + 8;
    text.writeUInt16LE(1, at);
    return new Uint8Array(text);
  }

  it.each([
    ['f.flac', 'aiff', 16, ['-sample_fmt', 's16']],
    ['a.m4a', 'wav', 16, ['-c:a', 'alac', '-sample_fmt', 's16p']],
    ['w.wav', 'aiff', 24, ['-c:a', 'pcm_s16le']],
    ['w.wav', 'wav', 24, ['-c:a', 'pcm_s24le']],
    ['rf.wav', 'wav', 16, ['-c:a', 'pcm_s16le', '-rf64', 'always']],
    ['le.aiff', 'aiff', 16, ['-c:a', 'pcm_s16le', '-f', 'aiff']],
    // 24 bits that hold 16: nothing is lost.
    ['deep.flac', 'wav', 16, ['-af', 'aformat=s16,aformat=s32', '-sample_fmt', 's32']],
  ] as const)('of %s to %s of %i bits has the same samples', async (file, container, depth, args) => {
    const before = bytesOf(encoded(signalWav(44100, 2, 1.5), file, [...args]));
    const wish = { container, depth, rate: 44100 } as const;
    const { bytes, report } = await copied(bytesSource(before, file), wish);
    expect(report).toMatchObject({ kind: 'exact', gainDb: 0, dithered: false, resampled: false, clipped: 0 });
    const decoded = await Promise.all([decodeBytes(before, file), decodeBytes(bytes, report.fileName)]);
    expect(decoded[1].samples[0].length).toBe(decoded[0].samples[0].length);
    expect(worstDifference(decoded[0].samples, decoded[1].samples)).toBe(0);
  });

  it('at another rate is what sox makes of it', async () => {
    // Two resamplers agree where both are flat; sox's is steeper or gentler at the top, so the test signal is low.
    const low = encoded(signalWav(48000, 2, 1.5), 'low.wav', [
      '-af',
      'lowpass=2000,lowpass=2000',
      '-c:a',
      'pcm_s24le',
    ]);
    const wish = { container: 'wav', depth: 24, rate: 44100 } as const;
    const { bytes } = await copied(bytesSource(bytesOf(low), 'low.wav'), wish);
    const path = onDisk(new Uint8Array(0), 'sox.wav');
    execFileSync('sox', ['-D', low, '-b', '24', path, 'rate', '-v', '-s', '44100']);
    const [ours, theirs] = await Promise.all([bytes, bytesOf(path)].map((b) => decodeBytes(b, 'x.wav')));
    expect(ours.samples[0].length).toBe(theirs.samples[0].length);
    // Both ring where the signal begins and ends all at once, each in its own way.
    const inside = (x: Float32Array) => x.subarray(2000, x.length - 2000);
    for (const c of [0, 1]) {
      expect(errorDb(inside(theirs.samples[c]), inside(ours.samples[c]))).toBeLessThan(-90);
    }
  });
});

describe('levels', () => {
  const wish = { container: 'wav', depth: 16, rate: 44100 } as const;
  // A quarter of the rate, half way between the samples: the true peak is 3 dB above every sample.
  // It fades in and out, since a sudden start overshoots.
  const fade = (i: number) => Math.min(1, i / 4000, (44099 - i) / 4000);
  const between = (amplitude: number) =>
    Float32Array.from({ length: 44100 }, (_, i) => fade(i) * amplitude * Math.sin((Math.PI / 2) * (i + 0.5)));

  it('that are too high between the samples are turned down, and only as far as needed', async () => {
    const { samples, report } = await throughCopy([between(1.2)], 44100, wish);
    expect(report.before.truePeakDb).toBeCloseTo(20 * Math.log10(1.2), 1);
    expect(report.after.truePeakDb).toBeCloseTo(-0.3, 5);
    expect(report.gainDb).toBeCloseTo(-0.3 - report.before.truePeakDb, 5);
    expect(report.notes).toEqual([
      expect.stringContaining(`Turned down by ${(-report.gainDb).toFixed(1)} dB`),
    ]);
    const top = Math.max(...samples[0].map(Math.abs));
    expect(20 * Math.log10(top)).toBeCloseTo(report.after.peakDb, 2);
    expect(report.clipped).toBe(0);
  });

  it('that are low enough are never raised', async () => {
    const { report } = await throughCopy([sine(997, 0.01, 44100, 20000)], 44100, wish);
    expect(report.gainDb).toBe(0);
    expect(report.notes).toEqual([]);
  });

  it('that are to be kept are cut off, and the number of samples is told', async () => {
    const x = sine(997, 1.2, 44100, 44100);
    const over = x.filter((v) => Math.abs(v) > 1.0001).length;
    const { report } = await throughCopy([x], 44100, wish, { level: 'keep' });
    expect(report.gainDb).toBe(0);
    expect(report.clipped).toBeGreaterThanOrEqual(over);
    expect(report.notes.at(-1)).toContain(`${report.clipped} samples were cut off`);
  });

  it('of samples that stay as they are stay, and the sentence says so', async () => {
    const x = between(1).map((v) => Math.round(v * 32767 * 1.4) / 32768);
    const { samples, report } = await throughCopy([x], 44100, wish);
    expect(report.kind).toBe('exact');
    expect(worstDifference(samples, [x])).toBe(0);
    expect(report.notes).toEqual([expect.stringContaining('the level is as it was')]);
  });

  it('of silence are no number, and silence stays', async () => {
    const { samples, report } = await throughCopy([new Float32Array(5000)], 44100, wish);
    expect(report.before).toMatchObject({ peakDb: -Infinity, truePeakDb: -Infinity });
    expect(samples[0].every((v) => v === 0)).toBe(true);
  });

  it('of surround: the first two channels', async () => {
    const channels = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6].map((a) => sine(997, a, 44100, 3000));
    const { samples, report } = await throughCopy(channels, 44100, wish);
    expect(samples).toHaveLength(2);
    expect(Math.max(...samples[1])).toBeCloseTo(0.2, 3);
    expect(report.notes).toEqual(['The original has 6 channels; the copy has the first two.']);
  });
});

describe('what goes wrong', () => {
  const wish = { container: 'wav', depth: 16, rate: 48000 } as const;

  it('a cut file: the copy is whole, and says what is missing', async () => {
    const whole = floatWav([sine(997, 0.5, 44100, 88200)], 44100);
    const { bytes, report } = await copied(bytesSource(whole.slice(0, whole.length / 2), 'half.wav'), wish);
    expect(report.notes[0]).toMatch(/^Only what could be read is in the copy\. “half\.wav” is cut short/);
    expect((await decodeBytes(bytes, 'half.wav')).track.partial).toBeNull();
  });

  it('a file that shrinks between the two runs gives no copy', async () => {
    const whole = floatWav([sine(997, 0.5, 44100, 4 * 44100)], 44100);
    const inner = bytesSource(whole, 'moving.wav');
    let cut = false;
    const source: ByteSource = {
      ...inner,
      read: async (a, b) => inner.read(a, cut ? Math.min(b, whole.length / 2) : b),
    };
    const copy = await prepareCopy(source, wish);
    cut = true;
    await expect(async () => {
      for await (const piece of copy.bytes()) void piece;
    }).rejects.toThrow(CopyFault);
  });

  it('an abort ends both runs', async () => {
    const source = bytesSource(floatWav([sine(997, 0.5, 44100, 20 * 44100)], 44100), 'long.wav');
    const first = new AbortController();
    const preparing = prepareCopy(source, wish, { signal: first.signal, onProgress: () => first.abort() });
    await expect(preparing).rejects.toMatchObject({ name: 'AbortError' });
    const second = new AbortController();
    const copy = await prepareCopy(source, wish, { signal: second.signal });
    let pieces = 0;
    await expect(async () => {
      for await (const piece of copy.bytes()) if (piece && ++pieces === 3) second.abort();
    }).rejects.toMatchObject({ name: 'AbortError' });
    expect(pieces).toBe(3);
  });

  it('sizes beyond what the formats count are refused with a sentence', async () => {
    const tags = await readAllTags(bytesSource(new Uint8Array(1), 'set.flac'));
    const frames = (bytes: number) => Math.floor(bytes / 4);
    const { left: _, ...written } = tags;
    const base = {
      depth: 16,
      rate: 44100,
      channels: 2,
      name: 'set.flac',
      tags: { ...written, mostCoverBytes: 0 },
    } as const;
    const room = 10_000;
    const wav = layOut({ ...base, container: 'wav', frames: frames(2 ** 32 - room) });
    expect(wav.size).toBeLessThan(2 ** 32 + 8);
    expect(new DataView(wav.head.buffer).getUint32(4, true)).toBe(wav.size - 8);
    expect(() => layOut({ ...base, container: 'wav', frames: frames(2 ** 32) })).toThrow(/WAV file \(4 GB\)/);
    expect(() => layOut({ ...base, container: 'aiff', frames: frames(2 ** 31) })).toThrow(
      /AIFF file \(2 GB\)/,
    );
  });

  it('progress never falls and ends at 1, and no piece is large', async () => {
    const shares: number[] = [];
    const source = bytesSource(floatWav([sine(997, 0.5, 44100, 9 * 44100)], 44100), 'long.wav');
    const { pieces } = await copied(source, wish, { onProgress: (s) => shares.push(s) });
    expect(shares.at(-1)).toBe(1);
    expect(shares.every((s, i) => i === 0 || s >= shares[i - 1])).toBe(true);
    expect(Math.max(...pieces)).toBeLessThan(1 << 20);
  });
});

describe('what to write', () => {
  const format = (f: Partial<SourceFormat>): SourceFormat => ({
    ...{ container: 'flac', codec: 'flac', lossless: true, sampleRate: 96000, channels: 2, bitDepth: 24 },
    bitrate: null,
    ...f,
  });
  const deck = (name: string, media: Partial<LoadingDeck['media']> = {}) =>
    ({
      name,
      media: { formats: ['mp3', 'wav', 'aiff'], maxSampleRate: 48000, maxBitDepth: 24, ...media },
    }) as LoadingDeck;

  it('is what every deck loads and what loses least', () => {
    const both = [deck('A'), deck('B')];
    expect(safestFor(both, format({}))).toEqual({ container: 'aiff', depth: 24, rate: 48000 });
    expect(safestFor(both, format({ sampleRate: 88200 })).rate).toBe(44100);
    expect(safestFor(both, format({ sampleRate: 44100, bitDepth: 16 }))).toEqual({
      ...{ container: 'aiff', depth: 16, rate: 44100 },
    });
    expect(safestFor(both, format({ container: 'wav' })).container).toBe('wav');
    expect(safestFor(both, format({ lossless: false, bitDepth: null })).depth).toBe(16);
    const old = deck('C', { formats: ['mp3', 'wav'], maxBitDepth: 16, maxSampleRate: 44100 });
    expect(safestFor([...both, old], format({}))).toEqual({ container: 'wav', depth: 16, rate: 44100 });
  });

  it('is nothing where a deck loads neither, and the sentence names it', () => {
    const only = deck('Old one', { formats: ['mp3'] });
    expect(() => safestFor([deck('A'), only], format({}))).toThrow(/Old one reads neither WAV nor AIFF/);
    expect(() => safestFor([deck('S', { maxSampleRate: 32000 })], format({}))).toThrow(CopyFault);
    expect(() => safestFor([deck('S', { maxBitDepth: 8 })], format({}))).toThrow(CopyFault);
  });

  it('says what it takes', () => {
    const wish = { container: 'wav', depth: 16, rate: 44100 } as const;
    const pcm = format({ container: 'wav', codec: 'pcm', bitDepth: 16, sampleRate: 44100 });
    expect(planCopy(pcm, wish)).toMatchObject({ resample: false, dither: false, fits: true, channels: 2 });
    expect(planCopy({ ...pcm, bitDepth: 24 }, wish)).toMatchObject({ dither: true, fits: false });
    expect(planCopy({ ...pcm, sampleRate: 48000 }, wish)).toMatchObject({ resample: true, dither: true });
    expect(planCopy({ ...pcm, container: 'aiff' }, wish)).toMatchObject({ dither: false, fits: false });
    expect(planCopy({ ...pcm, channels: 6 }, wish)).toMatchObject({ channels: 2, fits: false });
  });
});
