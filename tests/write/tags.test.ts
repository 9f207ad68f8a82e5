/**
 * ID3v2 tags byte by byte: https://id3.org/id3v2.3.0, https://id3.org/id3v2.4.0-structure and the Chapter Frame
 * Addendum 1.0. The tags are put together here by hand from those layouts.
 */
import { describe, expect, it } from 'vitest';
import type { Marker } from '../../shared/markers/marker.ts';
import { haveFfmpeg } from '../fixtures/ffmpeg.ts';
import { KINDS, copyBytes, md5OfAudio, onDisk, original, parsed, probedChapters, readBack } from './files.ts';

const MARKERS: Marker[] = [
  { kind: 'mark', id: 'a', time: 0.25, name: 'ÿ one', importance: 2 },
  { kind: 'cue', id: 'b', time: 1, name: 'two', importance: 3, slot: 2, colour: null },
];

const latin = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));
const join = (...parts: (Uint8Array | number[])[]) => Uint8Array.from(parts.flatMap((p) => [...p]));
const safe = (n: number) => [(n >> 21) & 127, (n >> 14) & 127, (n >> 7) & 127, n & 127];
const plain = (n: number) => [n >>> 24, (n >> 16) & 255, (n >> 8) & 255, n & 255];

const frame = (id: string, body: Uint8Array, size: (n: number) => number[], flags = [0, 0]) =>
  join(latin(id), size(body.length), flags, body);
const tag = (version: number, flags: number, body: Uint8Array) =>
  join(latin('ID3'), [version, 0, flags], safe(body.length), body);

/** A frame that no program knows, with bytes that look like an audio frame. */
const ODD = Uint8Array.of(1, 0xff, 0xfb, 0x90, 0, 0xff, 0, 7, 0xff);
const ODD_CODED = Uint8Array.of(1, 0xff, 0, 0xfb, 0x90, 0, 0xff, 0, 0, 7, 0xff, 0);

function holds(bytes: Uint8Array, part: Uint8Array): boolean {
  return Buffer.from(bytes).includes(Buffer.from(part));
}

describe.skipIf(!haveFfmpeg())('an MP3 with a tag', () => {
  const audio = () => original(KINDS.find((k) => k.file === 'bare.mp3')!);

  /** @param others who else is to read the chapters */
  async function copied(head: Uint8Array, others: 'both' | 'ffprobe' = 'both') {
    const name = 'x.mp3';
    const before = join(head, audio());
    const copy = await copyBytes(before, name, MARKERS);
    expect((await readBack(copy.bytes, name)).markers).toEqual(MARKERS);
    const again = await copyBytes(copy.bytes, name, MARKERS);
    expect(Buffer.compare(again.bytes, copy.bytes)).toBe(0);
    expect(md5OfAudio(onDisk(copy.bytes, name))).toBe(md5OfAudio(onDisk(audio(), name)));
    const places = [
      ['ÿ one', 0.25],
      ['two', 1],
    ];
    expect(probedChapters(onDisk(copy.bytes, name)).map((c) => [c.title, c.start])).toEqual(places);
    if (others === 'both') {
      const { chapters } = (await parsed(copy.bytes)).format;
      expect(chapters?.map((c) => [c.title, c.start])).toEqual(places);
    }
    // Behind the tag the file is the same, byte for byte.
    expect(Buffer.compare(copy.bytes.slice(-audio().length), audio())).toBe(0);
    return copy;
  }

  it.each([
    ['2.3', 3, plain],
    ['2.4', 4, safe],
  ] as const)('of version %s keeps version, unknown frames and frame flags', async (_name, version, size) => {
    const odd = frame('XODD', ODD, size, [0x40, 0]);
    const { bytes, notes } = await copied(tag(version, 0x20, join(odd, new Uint8Array(40))));
    expect(bytes.slice(3, 6)).toEqual(Uint8Array.of(version, 0, 0x20));
    expect(holds(bytes, odd)).toBe(true);
    expect(notes).toEqual([]);
  });

  it('has the chapter and its table as the addendum has them', async () => {
    const { bytes } = await copied(tag(3, 0, frame('XODD', ODD, plain)));
    // Element id, start and end in ms, two unused offsets, then a title in Latin-1.
    const chapter = join(latin('chp1\0'), plain(250), plain(1000), plain(-1), plain(-1));
    const title = frame('TIT2', join([0], latin('ÿ one')), plain);
    expect(holds(bytes, join(chapter, title))).toBe(true);
    // Top level and ordered (3), two entries.
    expect(holds(bytes, frame('CTOC', join(latin('toc\0'), [3, 2], latin('chp1\0chp2\0')), plain))).toBe(
      true,
    );
    const probed = probedChapters(onDisk(bytes, 'x.mp3'));
    expect(probed.map((c) => [c.start, c.end])).toEqual([
      [0.25, 1],
      [1, 1.5],
    ]);
  });

  it('of version 2.3 that is unsynchronised keeps what its frames say', async () => {
    const body = join(latin('XODD'), plain(ODD.length), [0, 0], ODD_CODED);
    const { bytes } = await copied(tag(3, 0x80, body));
    expect(bytes[5]).toBe(0);
    expect(holds(bytes, frame('XODD', ODD, plain))).toBe(true);
  });

  it('of version 2.4 that is unsynchronised stays so, frame by frame', async () => {
    const odd = frame('XODD', join(safe(ODD.length), ODD_CODED), safe, [0, 3]);
    const { bytes } = await copied(tag(4, 0x80, odd));
    expect(bytes[5]).toBe(0x80);
    expect(holds(bytes, odd)).toBe(true);
    const size = (bytes[6] << 21) | (bytes[7] << 14) | (bytes[8] << 7) | bytes[9];
    for (let i = 10; i < 10 + size - 1; i++) expect(bytes[i] === 0xff && bytes[i + 1] >= 0xe0).toBe(false);
  });

  it('with an extended header loses only its checksum', async () => {
    const odd3 = frame('XODD', ODD, plain);
    const extended3 = join(plain(10), [0x80, 0], plain(0), [1, 2, 3, 4]);
    const three = await copied(tag(3, 0x40, join(extended3, odd3)));
    expect(three.bytes[5]).toBe(0);
    expect(holds(three.bytes, odd3)).toBe(true);
    // 2.4: update, checksum (5 bytes) and restrictions.
    const extended4 = join(safe(15), [1, 0x70, 0, 5, 1, 2, 3, 4, 5, 1, 0x40]);
    expect(extended4.length).toBe(15);
    // music-metadata takes every extended header for one of 2.3.
    const four = await copied(tag(4, 0x40, join(extended4, frame('XODD', ODD, safe))), 'ffprobe');
    expect(four.bytes[5]).toBe(0x40);
    expect(four.bytes.slice(10, 19)).toEqual(join(safe(9), [1, 0x50, 0, 1, 0x40]));
  });

  it('with a footer has one again, and no padding', async () => {
    const odd = frame('XODD', ODD, safe);
    const head = join([4, 0, 0x10], safe(odd.length));
    const { bytes } = await copied(join(latin('ID3'), head, odd, latin('3DI'), head));
    const end = bytes.length - audio().length;
    expect(bytes.slice(end - 10, end - 7)).toEqual(latin('3DI'));
    expect(bytes.slice(end - 7, end)).toEqual(bytes.slice(3, 10));
  });

  it('of version 2.4 whose sizes are counted as in 2.3 is understood', async () => {
    const long = new Uint8Array(300).fill(65);
    const title = frame('TIT2', join([3], latin('t')), plain);
    const { bytes } = await copied(tag(4, 0, join(frame('XODD', long, plain), title)));
    expect(holds(bytes, frame('XODD', long, safe))).toBe(true);
  });

  it('with chapters of another program: they are read as marks, and replaced in the copy, which is told', async () => {
    const chapter = join(latin('x\0'), plain(500), plain(900), plain(-1), plain(-1));
    const utf16 = join([1, 0xff, 0xfe], [0x1c, 0x59, 0x41, 0]);
    const body = frame('CHAP', join(chapter, frame('TIT2', utf16, plain)), plain);
    const head = tag(3, 0, body);
    expect((await readBack(join(head, audio()), 'x.mp3')).markers).toEqual([
      { kind: 'mark', id: 'read-1', time: 0.5, name: '\u591cA', importance: 2 },
    ]);
    const { notes } = await copied(head);
    expect(notes).toEqual([
      'The copy of “x.mp3” no longer has the 1 chapters that another program had put there; the original keeps them.',
    ]);
  });

  it('that cannot be kept whole is refused with a sentence', async () => {
    const refused = (head: Uint8Array) => copyBytes(join(head, audio()), 'x.mp3', MARKERS);
    await expect(refused(tag(2, 0, new Uint8Array(20)))).rejects.toThrow(
      /tag of version 2\.2, which cannot hold/,
    );
    await expect(refused(tag(3, 0, latin('XODD\0\0\xff\xff\0\0abc')))).rejects.toThrow(
      /tag of “x\.mp3” is damaged/,
    );
    await expect(refused(tag(3, 0, join(frame('XODD', ODD, plain), [0, 0, 5])))).rejects.toThrow(
      /is damaged/,
    );
  });
});
