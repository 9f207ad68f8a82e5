/**
 * Copies of audio files with markers. The audio is compared by our decoder, by ffmpeg's (`-f md5`) and by the bytes
 * of the packets (`-c copy`); the chapters are read back by ours, by ffprobe and by music-metadata
 * (https://ffmpeg.org/ffprobe.html, https://www.npmjs.com/package/music-metadata).
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { shownName } from '../../shared/exchange/names.ts';
import { inOrder, type Marker } from '../../shared/markers/marker.ts';
import { blobOfCopy } from '../../workers/write/parts.ts';
import { bytesSource } from '../../workers/decode/source.ts';
import { readTags } from '../../workers/decode/tags.ts';
import { writeMarkersCopy } from '../../workers/write/copy.ts';
import { anyMarkers, apart } from '../exchange/arbitrary.ts';
import { decodeBytes, worstDifference } from '../fixtures/decoded.ts';
import { haveFfmpeg } from '../fixtures/ffmpeg.ts';
import {
  KINDS,
  contextOf,
  copyBytes,
  md5OfAudio,
  md5OfPackets,
  onDisk,
  original,
  parsed,
  probedChapters,
  probedTags,
  readBack,
} from './files.ts';

const MARKERS: Marker[] = inOrder([
  { kind: 'cue', id: 'a', time: 0.1003, name: 'First beat', importance: 3, slot: 1, colour: '#c05a2b' },
  { kind: 'mark', id: 'b', time: 0.45, name: 'Dröp – 夜', importance: 2 },
  { kind: 'loop', id: 'c', time: 0.7, name: '', importance: 1, endTime: 0.95, beats: 0.5 },
  { kind: 'cue', id: 'd', time: 1.2, name: 'Out', importance: 2, slot: null, colour: null },
]);

/** The matcher compares element by element, which takes seconds for a track. */
const sameBytes = (a: Uint8Array, b: Uint8Array) => Buffer.compare(a, b) === 0;

const isId3 = (file: string) => /\.(mp3|aiff)$/.test(file);

describe.skipIf(!haveFfmpeg())('a copy with markers', () => {
  for (const k of KINDS) {
    describe(k.file, () => {
      it('has the same audio, the same tags and the markers, for us and for others', async () => {
        const before = original(k);
        const snapshot = before.slice();
        const copy = await copyBytes(before, k.file, MARKERS);
        expect(sameBytes(before, snapshot)).toBe(true);
        expect(copy.notes).toEqual([]);

        const back = await readBack(copy.bytes, k.file);
        expect(back.notes).toEqual([]);
        expect(back.markers).toEqual(MARKERS);

        const paths = [onDisk(before, k.file), onDisk(copy.bytes, k.file)];
        expect(md5OfAudio(paths[1])).toBe(md5OfAudio(paths[0]));
        expect(md5OfPackets(paths[1])).toBe(md5OfPackets(paths[0]));
        const [a, b] = await Promise.all([before, copy.bytes].map((x) => decodeBytes(x, k.file)));
        expect(b.samples[0].length).toBe(a.samples[0].length);
        expect(worstDifference(a.samples, b.samples)).toBe(0);
        expect(b.track.partial).toBeNull();
        expect(probedTags(paths[1])).toEqual(probedTags(paths[0]));
        expect(await readTags(bytesSource(copy.bytes, k.file))).toEqual(
          await readTags(bytesSource(before, k.file)),
        );

        const probed = probedChapters(paths[1]);
        expect(probed.map((c) => c.title)).toEqual(MARKERS.map(shownName));
        probed.forEach((c, i) => expect(Math.abs(c.start - MARKERS[i].time)).toBeLessThanOrEqual(0.0005));
        const { format } = await parsed(copy.bytes);
        if (isId3(k.file)) {
          expect(format.chapters?.map((c) => [c.title, Math.round(c.start * 1000)])).toEqual(
            MARKERS.map((m) => [shownName(m), Math.round(m.time * 1000)]),
          );
        }
      });

      it('is the same when it is written again, and without markers as good as new', async () => {
        const before = original(k);
        const once = await copyBytes(before, k.file, MARKERS);
        const twice = await copyBytes(once.bytes, k.file, MARKERS);
        expect(sameBytes(twice.bytes, once.bytes)).toBe(true);
        expect(twice.notes).toEqual([]);
        const none = await copyBytes(once.bytes, k.file, []);
        expect((await readBack(none.bytes, k.file)).markers).toEqual([]);
        const again = await copyBytes(none.bytes, k.file, MARKERS);
        expect((await readBack(again.bytes, k.file)).markers).toEqual(MARKERS);
        expect(again.bytes.length).toBeLessThanOrEqual(once.bytes.length);
        expect(md5OfAudio(onDisk(again.bytes, k.file))).toBe(md5OfAudio(onDisk(before, k.file)));
      });

      it('gives any markers back equal', async () => {
        const before = original(k);
        await fc.assert(
          fc.asyncProperty(anyMarkers(8), async (markers) => {
            const { bytes } = await copyBytes(before, k.file, markers);
            const back = await readBack(bytes, k.file);
            const { rest, by } = apart(markers, back.markers);
            expect(rest[1]).toEqual(rest[0]);
            expect(by).toBeLessThanOrEqual(back.resolution);
            expect(back.markers).toEqual(inOrder(markers));
            const again = await copyBytes(bytes, k.file, back.markers);
            expect(sameBytes(again.bytes, bytes)).toBe(true);
          }),
          { numRuns: 25 },
        );
      });

      it('takes as many as a track can have', async () => {
        const many: Marker[] = Array.from({ length: 500 }, (_, i) => ({
          kind: 'mark',
          id: `m${i}`,
          time: i * 0.0029,
          name: `Mark ${i} ${'–'.repeat(60)}`,
          importance: 2,
        }));
        const before = original(k);
        const { bytes } = await copyBytes(before, k.file, many);
        expect((await readBack(bytes, k.file)).markers).toEqual(many);
        const paths = [onDisk(before, k.file), onDisk(bytes, k.file)];
        expect(md5OfPackets(paths[1])).toBe(md5OfPackets(paths[0]));
        const [a, b] = await Promise.all([before, bytes].map((x) => decodeBytes(x, k.file)));
        expect(worstDifference(a.samples, b.samples)).toBe(0);
        expect(sameBytes((await copyBytes(bytes, k.file, many)).bytes, bytes)).toBe(true);
      });
    });
  }

  it('can be had as a Blob that is put together from the original', async () => {
    const before = original(KINDS[0]);
    const source = bytesSource(before, 'x.wav');
    const copy = await writeMarkersCopy(source, MARKERS, contextOf('x.wav'));
    const blob = blobOfCopy(new Blob([Uint8Array.from(before)], { type: 'audio/wav' }), copy);
    expect(blob.type).toBe('audio/wav');
    expect(new Uint8Array(await blob.arrayBuffer())).toEqual(
      (await copyBytes(before, 'x.wav', MARKERS)).bytes,
    );
    // The audio itself is never in memory.
    const fresh = copy.parts.filter((p) => p instanceof Uint8Array).reduce((n, p) => n + p.length, 0);
    expect(fresh).toBeLessThan(2000);
  });
});
