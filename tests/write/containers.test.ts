/** Layouts of each container, files by other programs, and files that are refused. */
import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import type { Marker } from '../../shared/markers/marker.ts';
import { pageCrc } from '../../workers/decode/ogg/pages.ts';
import { encoded, haveFfmpeg, signalWav, bytesOf } from '../fixtures/ffmpeg.ts';
import { decodeBytes, worstDifference } from '../fixtures/decoded.ts';
import { KINDS, copyBytes, md5OfAudio, onDisk, original, readBack } from './files.ts';

const MARKERS: Marker[] = [
  { kind: 'mark', id: 'a', time: 0.001, name: 'one', importance: 2 },
  { kind: 'loop', id: 'b', time: 0.002, endTime: 0.004, name: 'two', importance: 3, beats: null },
];

const latin = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));
const join = (...parts: (Uint8Array | number[])[]) => Uint8Array.from(parts.flatMap((p) => [...p]));
const le32 = (...values: number[]) =>
  values.flatMap((n) => [n & 255, (n >> 8) & 255, (n >> 16) & 255, n >>> 24]);
const be32 = (...values: number[]) =>
  values.flatMap((n) => [n >>> 24, (n >> 16) & 255, (n >> 8) & 255, n & 255]);
const be16 = (n: number) => [n >> 8, n & 255];

describe('WAV (RIFF 1.0, chapter 3)', () => {
  const FMT = join(latin('fmt '), le32(16), [1, 0, 1, 0], le32(1000, 1000), [1, 0, 8, 0]);
  const riff = (...chunks: Uint8Array[]) => {
    const body = join(latin('WAVE'), ...chunks);
    return join(latin('RIFF'), le32(body.length), body);
  };
  const chunk = (id: string, body: Uint8Array | number[]) =>
    join(latin(id), le32(body.length), body, body.length % 2 ? [0] : []);
  const samples = Uint8Array.of(128, 130, 126, 140, 120, 128, 127);
  const data = chunk('data', samples);

  it('has points and labels byte by byte as the specification has them', async () => {
    const { bytes } = await copyBytes(riff(FMT, data), 'x.wav', MARKERS);
    const cue = join(
      le32(2),
      le32(1, 1),
      latin('data'),
      le32(0, 0, 1),
      le32(2, 2),
      latin('data'),
      le32(0, 0, 2),
    );
    const start = 12 + FMT.length + data.length;
    expect(bytes.slice(start, start + 8 + cue.length)).toEqual(chunk('cue ', cue));
    const list = bytes.slice(start + 8 + cue.length);
    expect(list.slice(8, 12)).toEqual(latin('adtl'));
    expect(list.slice(12, 28)).toEqual(chunk('labl', join(le32(1), latin('one\0'))));
    // Length in samples, purpose, country, language, dialect, code page.
    expect(list.slice(-28)).toEqual(chunk('ltxt', join(le32(2, 2), latin('rgn '), new Uint8Array(8))));
    expect(bytes.slice(4, 8)).toEqual(Uint8Array.from(le32(bytes.length - 8)));
  });

  it('keeps chunks around the audio, chunks without padding at the end, and what stands behind the form', async () => {
    const odd = chunk('odd ', [1, 2, 3]);
    const whole = riff(FMT, chunk('junk', [9, 9]), data, odd);
    const before = join(whole.slice(0, -1), []);
    before.set(le32(before.length - 8), 4);
    const { bytes } = await copyBytes(before, 'x.wav', MARKERS);
    expect((await readBack(bytes, 'x.wav')).markers).toEqual(MARKERS);
    expect(Buffer.from(bytes).includes(Buffer.from(odd))).toBe(true);
    expect(bytes.slice(12, 12 + FMT.length + 10)).toEqual(join(FMT, chunk('junk', [9, 9])));
    const tail = latin('TAG of another kind');
    const tagged = await copyBytes(join(riff(FMT, data), tail), 'x.wav', MARKERS);
    expect(tagged.bytes.slice(-tail.length)).toEqual(tail);
    expect((await readBack(tagged.bytes, 'x.wav')).markers).toEqual(MARKERS);
  });

  it('reads points of another program that stand before the audio, and replaces them, which is told', async () => {
    const cue = chunk('cue ', join(le32(1), le32(7, 0), latin('data'), le32(0, 0, 5)));
    const adtl = chunk('LIST', join(latin('adtl'), chunk('labl', join(le32(7), latin('Caf\xe9\0')))));
    const before = riff(FMT, cue, adtl, data);
    expect((await readBack(before, 'x.wav')).markers).toEqual([
      { kind: 'mark', id: 'read-1', time: 0.005, name: 'Café', importance: 2 },
    ]);
    const { bytes, notes } = await copyBytes(before, 'x.wav', MARKERS);
    expect(notes[0]).toContain('no longer has the 1 cue points');
    expect((await readBack(bytes, 'x.wav')).markers).toEqual(MARKERS);
    const [a, b] = await Promise.all([before, bytes].map((x) => decodeBytes(x, 'x.wav')));
    expect(worstDifference(a.samples, b.samples)).toBe(0);
  });

  it('lets a point that another program moved, and a length that it changed, win', async () => {
    const { bytes } = await copyBytes(riff(FMT, data), 'x.wav', MARKERS);
    const first = 12 + FMT.length + data.length + 8 + 4;
    bytes.set(le32(4), first + 20);
    bytes.set(le32(3), bytes.length - 16);
    expect((await readBack(bytes, 'x.wav')).markers).toMatchObject([
      { id: 'b', time: 0.002, endTime: 0.005 },
      { id: 'a', time: 0.004, name: 'one' },
    ]);
  });

  it('refuses a cut or unfinished file with a sentence', async () => {
    const whole = riff(FMT, data);
    const sentence = /“x\.wav” is damaged or cut short, so no copy is made of it/;
    await expect(copyBytes(whole.slice(0, -4), 'x.wav', MARKERS)).rejects.toThrow(sentence);
    const open = join(riff(FMT), latin('data'), le32(0), samples);
    open.set(le32(open.length - 8), 4);
    await expect(copyBytes(open, 'x.wav', MARKERS)).rejects.toThrow(sentence);
  });
});

describe.skipIf(!haveFfmpeg())('other containers', () => {
  const named = (file: string) => original(KINDS.find((k) => k.file === file)!);

  it('AIFF: a MARK chunk is read where there are no chapters, and kept', async () => {
    const before = named('bare.aiff');
    const mark = join(latin('MARK'), be32(20), be16(2), be16(1), be32(441), [3], latin('One'));
    const whole = join(before, mark, be16(2), be32(882), [0], [0]);
    whole.set(be32(whole.length - 8), 4);
    expect((await readBack(whole, 'x.aiff')).markers.map((m) => [m.time, m.name])).toEqual([
      [0.01, 'One'],
      [0.02, ''],
    ]);
    const { bytes } = await copyBytes(whole, 'x.aiff', MARKERS);
    expect(Buffer.from(bytes).includes(Buffer.from(mark))).toBe(true);
    expect((await readBack(bytes, 'x.aiff')).markers).toEqual(MARKERS);
  });

  it('FLAC: the reference decoder finds no fault, and a cue sheet block of another program is read and kept', async () => {
    const copy = await copyBytes(named('f16.flac'), 'x.flac', MARKERS);
    execFileSync('flac', ['-t', '-s', '-w', onDisk(copy.bytes, 'copy.flac')]);
    const path = onDisk(named('bare.flac'), 'sheet.flac');
    const sheet = 'FILE "a.wav" WAVE\nTRACK 01 AUDIO\nINDEX 01 00:00:00\nTRACK 02 AUDIO\nINDEX 01 00:01:00\n';
    execFileSync('metaflac', ['--remove', '--block-type=CUESHEET', path]);
    execFileSync('metaflac', ['--import-cuesheet-from=-', path], { input: sheet });
    const before = bytesOf(path);
    expect((await readBack(before, 'x.flac')).markers.map((m) => [m.time, m.name])).toEqual([
      [0, 'Track 1'],
      [1, 'Track 2'],
    ]);
    const { bytes, notes } = await copyBytes(before, 'x.flac', MARKERS);
    expect(notes[0]).toContain('has a cue sheet block of its own, which the copy keeps');
    const kept = onDisk(bytes, 'kept.flac');
    execFileSync('flac', ['-t', '-s', '-w', kept]);
    expect(execFileSync('metaflac', ['--export-cuesheet-to=-', kept]).toString()).toContain('INDEX 01 44100');
    expect((await readBack(bytes, 'x.flac')).markers).toEqual(MARKERS);
  });

  it('FLAC: a CUE sheet in a comment is read', async () => {
    const path = onDisk(named('bare.flac'), 'comment.flac');
    const sheet = 'FILE "a.wav" WAVE\nTRACK 01 AUDIO\nTITLE "Drop"\nINDEX 01 00:01:15\n';
    execFileSync('metaflac', ['--remove-tag=CUESHEET', `--set-tag=CUESHEET=${sheet}`, path]);
    expect((await readBack(bytesOf(path), 'x.flac')).markers).toMatchObject([{ time: 1.2, name: 'Drop' }]);
  });

  it.each(['vorbis.ogg', 'opus.opus', 'flac.oga'])(
    '%s: pages count on and have right checksums',
    async (file) => {
      const many: Marker[] = Array.from({ length: 300 }, (_, i) => ({
        kind: 'mark',
        id: `m${i}`,
        time: i / 300,
        name: 'x'.repeat(80),
        importance: 1,
      }));
      const before = named(file);
      const { bytes } = await copyBytes(before, file, many);
      let pages = 0;
      for (let at = 0; at < bytes.length; pages++) {
        const view = new DataView(bytes.buffer, bytes.byteOffset + at);
        expect(view.getUint32(0)).toBe(0x4f676753);
        const segments = bytes[at + 26];
        const length = 27 + segments + bytes.slice(at + 27, at + 27 + segments).reduce((n, x) => n + x, 0);
        expect(view.getUint32(18, true)).toBe(pages);
        expect(view.getUint32(22, true)).toBe(pageCrc(bytes, at, at + length));
        at += length;
      }
      expect(pages).toBeGreaterThan(3);
      expect(md5OfAudio(onDisk(bytes, file))).toBe(md5OfAudio(onDisk(before, file)));
      expect((await readBack(bytes, file)).markers).toEqual(many);
    },
  );

  it('Ogg: a damaged page is refused where later pages would have to be written anew', async () => {
    const before = bytesOf(encoded(signalWav(44100, 2, 6), 'long.ogg', ['-c:a', 'libvorbis']));
    before[before.length >> 1] ^= 1;
    const many = Array.from({ length: 300 }, (_, i): Marker => ({
      ...MARKERS[0],
      name: 'x'.repeat(80),
      id: `m${i}`,
      time: i / 300,
    }));
    await expect(copyBytes(before, 'x.ogg', many)).rejects.toThrow(/is damaged or cut short, so no copy/);
  });

  it('M4A, AAC and what is no audio are refused with a sentence and the remedy', async () => {
    const m4a = bytesOf(encoded(signalWav(44100, 2, 1.2), 'p.m4a', ['-c:a', 'aac']));
    await expect(copyBytes(m4a, 'x.m4a', MARKERS)).rejects.toThrow(
      '“x.m4a” is an M4A file, into which markers are not written here: save the markers as a file beside it instead (JSON, CSV, WebVTT or CUE sheet).',
    );
    const aac = bytesOf(encoded(signalWav(44100, 2, 1.2), 'p.aac', ['-c:a', 'aac']));
    await expect(readBack(aac, 'x.aac')).rejects.toThrow('“x.aac” is an AAC file');
    await expect(readBack(latin('hello there'), 'x.txt')).rejects.toThrow(/“x\.txt” is not an audio file/);
    await expect(readBack(new Uint8Array(0), 'x.wav')).rejects.toThrow(/is empty/);
  });
});
