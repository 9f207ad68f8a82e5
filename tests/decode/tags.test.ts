/** Tags written by ffmpeg (https://ffmpeg.org/ffmpeg-formats.html#Metadata) are read back; the playable WAV equals what was decoded. */
import { describe, expect, it } from 'vitest';
import { openTrack } from '../../workers/decode/open.ts';
import { bytesSource } from '../../workers/decode/source.ts';
import { readTags } from '../../workers/decode/tags.ts';
import { playableBlob } from '../../workers/decode/wav-out.ts';
import { decodeBytes, worstDifference } from '../fixtures/decoded.ts';
import { bytesOf, encoded, haveFfmpeg, signalWav } from '../fixtures/ffmpeg.ts';

const META = ['title=Night Ferry', 'artist=Lena Quay', 'album=Harbour', 'genre=House', 'date=2024'].flatMap(
  (m) => ['-metadata', m],
);

describe.skipIf(!haveFfmpeg())('tags', () => {
  for (const [file, args] of [
    ['t.mp3', []],
    ['t.flac', ['-sample_fmt', 's16']],
    ['t.m4a', []],
    ['t.opus', []],
  ] as [string, string[]][])
    it(file, async () => {
      const path = encoded(signalWav(44100, 2, 1.2), file, [...args, ...META]);
      expect(await readTags(bytesSource(bytesOf(path), file))).toMatchObject({
        title: 'Night Ferry',
        artist: 'Lena Quay',
        album: 'Harbour',
        genre: 'House',
        year: 2024,
        cover: null,
      });
    });

  it('never throws, and falls back to the name', async () => {
    const tags = await readTags(bytesSource(Uint8Array.of(1, 2, 3), 'Untitled dub.mp3'));
    expect(tags).toMatchObject({ title: 'Untitled dub', artist: null, bpm: null });
  });
});

describe.skipIf(!haveFfmpeg())('playable WAV', () => {
  it('holds the same samples as the ALAC that it was made from', async () => {
    const args = ['-c:a', 'alac', '-sample_fmt', 's16p'];
    const bytes = bytesOf(encoded(signalWav(44100, 2, 1.2), 'p.m4a', args));
    const wanted = await decodeBytes(bytes, 'p.m4a');
    const blob = await playableBlob(await openTrack(bytesSource(bytes, 'p.m4a')));
    const got = await decodeBytes(new Uint8Array(await blob.arrayBuffer()), 'p.wav');
    expect(got.samples[0].length).toBe(wanted.samples[0].length);
    expect(worstDifference(wanted.samples, got.samples)).toBe(0);
  });
});
