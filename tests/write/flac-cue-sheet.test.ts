/**
 * The cue sheet block of FLAC, both ways. Its bytes are held against the layout of RFC 9639, section 8.7, and against
 * what the reference programs (`flac -t`, `metaflac --list`, https://xiph.org/flac/documentation_tools_metaflac.html)
 * say of it.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { shownName } from '../../shared/exchange/names.ts';
import { inOrder, type Marker } from '../../shared/markers/marker.ts';
import { bytesSource } from '../../workers/decode/source.ts';
import { readTags } from '../../workers/decode/tags.ts';
import { CUESHEET, readBlocks } from '../../workers/write/flac/blocks.ts';
import {
  cueSheetBytes,
  parseCueSheet,
  type CueSheet,
  type CueSheetTrack,
} from '../../workers/write/flac/cue-sheet.ts';
import { anyMarkers, apart } from '../exchange/arbitrary.ts';
import { decodeBytes, worstDifference } from '../fixtures/decoded.ts';
import { bytesOf, haveFfmpeg } from '../fixtures/ffmpeg.ts';
import {
  KINDS,
  SECONDS,
  copyBytes,
  md5OfAudio,
  md5OfPackets,
  onDisk,
  original,
  parsed,
  probedChapters,
  readBack,
} from './files.ts';

const RATE = 44100;
const BLOCK = { cueSheetBlock: true };
const named = (file: string) => original(KINDS.find((k) => k.file === file)!);
const sameBytes = (a: Uint8Array, b: Uint8Array) => Buffer.compare(a, b) === 0;

const MARKERS: Marker[] = inOrder([
  { kind: 'cue', id: 'a', time: 0.1003, name: 'First beat', importance: 3, slot: 1, colour: '#c05a2b' },
  { kind: 'mark', id: 'b', time: 0.45, name: 'Dröp – 夜', importance: 2 },
  { kind: 'mark', id: 'b2', time: 0.45, name: 'Twin', importance: 1 },
  { kind: 'loop', id: 'c', time: 0.7, name: '', importance: 1, endTime: 0.95, beats: 0.5 },
  { kind: 'cue', id: 'd', time: 1.2, name: 'Out', importance: 2, slot: null, colour: null },
]);

/** The body of the file's cue sheet block, or null. */
async function blockOf(bytes: Uint8Array): Promise<Uint8Array | null> {
  const { blocks } = await readBlocks(bytesSource(bytes, 'x.flac'), 0);
  const block = blocks.find(({ type }) => type === CUESHEET);
  return block ? bytes.slice(block.body, block.end) : null;
}

/** The file with another body in its cue sheet block, which must be as long. */
async function withBlock(bytes: Uint8Array, change: (sheet: CueSheet) => CueSheet): Promise<Uint8Array> {
  const { blocks } = await readBlocks(bytesSource(bytes, 'x.flac'), 0);
  const block = blocks.find(({ type }) => type === CUESHEET)!;
  const body = cueSheetBytes(change(parseCueSheet(bytes.slice(block.body, block.end))!));
  if (body.length !== block.end - block.body) throw new Error('The length of the block has changed.');
  const changed = bytes.slice();
  changed.set(body, block.body);
  return changed;
}

const text = (length: number) =>
  fc
    .array(fc.integer({ min: 0x20, max: 0x7e }), { maxLength: length })
    .map((codes) => String.fromCharCode(...codes));
const offset = fc.oneof(fc.nat(2 ** 31), fc.maxSafeNat());
const track: fc.Arbitrary<CueSheetTrack> = fc.record({
  offset,
  number: fc.integer({ min: 1, max: 255 }),
  isrc: fc.oneof(fc.constant(''), text(12)),
  isAudio: fc.boolean(),
  preEmphasis: fc.boolean(),
  indexes: fc.array(fc.record({ offset, number: fc.nat(100) }), { maxLength: 5 }),
});
const sheet: fc.Arbitrary<CueSheet> = fc.record({
  catalogue: text(128),
  leadIn: offset,
  isDisc: fc.boolean(),
  tracks: fc.array(track, { minLength: 1, maxLength: 20 }),
});

describe('the bytes of a cue sheet block', () => {
  it('are laid out as RFC 9639 has them', () => {
    const one: CueSheet = {
      catalogue: '0123456789012',
      leadIn: 88200,
      isDisc: true,
      tracks: [
        {
          offset: 2 ** 33 + 588,
          number: 1,
          isrc: 'AABBB2600001',
          isAudio: false,
          preEmphasis: true,
          indexes: [
            { offset: 0, number: 0 },
            { offset: 1176, number: 1 },
          ],
        },
        { offset: 588000, number: 170, isrc: '', isAudio: true, preEmphasis: false, indexes: [] },
      ],
    };
    const zeros = (n: number): number[] => new Array<number>(n).fill(0);
    const ascii = (s: string) => [...s].map((c) => c.charCodeAt(0));
    expect([...cueSheetBytes(one)]).toEqual([
      ...ascii('0123456789012'), // media catalogue number, 128 bytes
      ...zeros(115),
      ...[0, 0, 0, 0, 0, 1, 0x58, 0x88], // 88 200 samples of lead-in
      0x80, // a compact disc
      ...zeros(258), // reserved
      2, // tracks with the lead-out
      ...[0, 0, 0, 2, 0, 0, 0x02, 0x4c], // offset
      1, // number
      ...ascii('AABBB2600001'),
      0x80 | 0x40, // not audio, with pre-emphasis
      ...zeros(13), // reserved
      2, // index points
      ...[0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0], // index 0 at 0, three reserved bytes
      ...[0, 0, 0, 0, 0, 0, 0x04, 0x98, 1, 0, 0, 0], // index 1
      ...[0, 0, 0, 0, 0, 0x08, 0xf8, 0xe0], // the lead-out
      170,
      ...zeros(12),
      0,
      ...zeros(13),
      0,
    ]);
    expect(parseCueSheet(cueSheetBytes(one))).toEqual(one);
  });

  it('give any sheet back, and a cut one gives none', () => {
    fc.assert(
      fc.property(sheet, fc.nat(), (any, cut) => {
        const bytes = cueSheetBytes(any);
        expect(parseCueSheet(bytes)).toEqual(any);
        expect(parseCueSheet(bytes.subarray(0, cut % bytes.length))).toBeNull();
      }),
    );
  });
});

describe.skipIf(!haveFfmpeg())('a FLAC copy with a cue sheet block', () => {
  it.each(['f16.flac', 'bare.flac'])('%s: says the same to everyone, and the sound stays', async (file) => {
    const before = named(file);
    const { bytes, notes } = await copyBytes(before, file, MARKERS, BLOCK);
    expect(notes).toEqual([]);
    expect(await readBack(bytes, file)).toMatchObject({ markers: MARKERS, notes: [] });

    const paths = [onDisk(before, file), onDisk(bytes, file)];
    expect(md5OfAudio(paths[1])).toBe(md5OfAudio(paths[0]));
    expect(md5OfPackets(paths[1])).toBe(md5OfPackets(paths[0]));
    const [a, b] = await Promise.all([before, bytes].map((x) => decodeBytes(x, file)));
    expect(worstDifference(a.samples, b.samples)).toBe(0);
    execFileSync('flac', ['-t', '-s', '-w', paths[1]]);
    const readTagsOf = (x: Uint8Array) => readTags(bytesSource(x, file));
    expect(await readTagsOf(bytes)).toEqual(await readTagsOf(before));
    const { common } = await parsed(bytes);
    expect(common.title).toBe((await parsed(before)).common.title);

    const list = execFileSync('metaflac', ['--list', '--block-type=CUESHEET', paths[1]]).toString();
    const said = list
      .split('\n')
      .map((line) => line.trim())
      .filter((line) => /^(is CD|lead-in|number|offset|type|media)/.test(line));
    // 0.1003 s × 44 100 = 4423.2; the two marks at 0.45 s share a track.
    const track = (at: number, number: number) => [
      `offset: ${at}`,
      `number: ${number}`,
      'type: AUDIO',
      'number of index points: 1',
      'offset: 0',
      'number: 1',
    ];
    expect(said).toEqual([
      'type: 5 (CUESHEET)',
      'media catalog number:',
      'lead-in: 0',
      'is CD: false',
      'number of tracks: 5',
      ...track(4423, 1),
      ...track(19845, 2),
      ...track(30870, 3),
      ...track(52920, 4),
      `offset: ${SECONDS * RATE}`,
      'number: 255 (LEAD-OUT)',
    ]);

    // ffprobe gives block and comments the same numbers; the names must win.
    const probed = probedChapters(paths[1]);
    expect(probed.map((c) => c.title)).toEqual(MARKERS.map(shownName));
    probed.forEach((c, i) => expect(Math.abs(c.start - MARKERS[i].time)).toBeLessThanOrEqual(0.0005));
  });

  it('gives any markers back equal, is the same when written again, and goes when it is not wished', async () => {
    const before = named('f16.flac');
    const plain = await md5OfFrames(before);
    await fc.assert(
      fc.asyncProperty(anyMarkers(10), async (markers) => {
        const { bytes } = await copyBytes(before, 'x.flac', markers, BLOCK);
        const back = await readBack(bytes, 'x.flac');
        const { rest, by } = apart(markers, back.markers);
        expect(rest[1]).toEqual(rest[0]);
        expect(by).toBeLessThanOrEqual(back.resolution);
        expect(back.markers).toEqual(inOrder(markers));
        expect(await md5OfFrames(bytes)).toBe(plain);
        // The block tells of the place of each marker within the audio, to the sample.
        const body = await blockOf(bytes);
        const inside = markers.map((m) => Math.round(m.time * RATE)).filter((at) => at < SECONDS * RATE);
        const places = (body && parseCueSheet(body))?.tracks.slice(0, -1).map((t) => t.offset) ?? [];
        expect(places).toEqual([...new Set(inside)].sort((a, b) => a - b));
        const again = await copyBytes(bytes, 'x.flac', back.markers, BLOCK);
        expect(sameBytes(again.bytes, bytes)).toBe(true);
        const without = await copyBytes(bytes, 'x.flac', back.markers);
        expect(without.notes).toEqual([]);
        expect(await blockOf(without.bytes)).toBeNull();
        expect((await readBack(without.bytes, 'x.flac')).markers).toEqual(inOrder(markers));
      }),
      { numRuns: 60 },
    );
  });

  it('tells the places to a reader that knows nothing else', async () => {
    const { bytes } = await copyBytes(named('f16.flac'), 'x.flac', MARKERS, BLOCK);
    const path = onDisk(bytes, 'bare-block.flac');
    execFileSync('metaflac', ['--remove', '--block-type=VORBIS_COMMENT', path]);
    expect((await readBack(bytesOf(path), 'x.flac')).markers).toMatchObject(
      [4423, 19845, 30870, 52920].map((at, i) => ({ time: at / RATE, name: `Track ${i + 1}` })),
    );
  });

  it('has the 254 places that matter most, and says so', async () => {
    const many: Marker[] = Array.from({ length: 300 }, (_, i) => ({
      kind: 'mark',
      id: `m${i}`,
      time: i * 0.004,
      name: `Mark ${i}`,
      importance: i % 10 ? 2 : 1,
    }));
    const late: Marker = { ...many[0], id: 'late', time: 9, importance: 3 };
    const { bytes, notes } = await copyBytes(named('f16.flac'), 'x.flac', [...many, late], BLOCK);
    expect(notes).toEqual([
      'The cue sheet block of “x.flac” has room for 254 places within the audio, so 47 markers stand only in the chapters.',
    ]);
    const { tracks } = parseCueSheet((await blockOf(bytes))!)!;
    expect(tracks).toHaveLength(255);
    expect(tracks.map((t) => t.number)).toEqual(Array.from({ length: 255 }, (_, i) => i + 1));
    const has = (m: Marker) => tracks.some((t) => t.offset === Math.round(m.time * RATE));
    // All 270 of weight 2 have no room either: the later ones stay out, and so do those of weight 1.
    expect(many.filter((m) => m.importance === 2).map(has)).toEqual(
      Array.from({ length: 270 }, (_, i) => i < 254),
    );
    expect(many.filter((m) => m.importance === 1).some(has)).toBe(false);
    execFileSync('flac', ['-t', '-s', '-w', onDisk(bytes, 'many.flac')]);
    expect((await readBack(bytes, 'x.flac')).markers).toEqual([...many, late]);
  });
});

describe.skipIf(!haveFfmpeg())('a cue sheet block of another program', () => {
  const SHEET = [
    'CATALOG 0123456789012',
    'FILE "a.wav" WAVE',
    'TRACK 01 AUDIO',
    'ISRC AABBB2600001',
    'INDEX 01 00:00:00',
    'TRACK 02 AUDIO',
    'INDEX 00 00:00:37',
    'INDEX 01 00:01:00',
    'INDEX 02 00:01:15',
    '',
  ].join('\n');

  function foreign(chapters: string[]): Uint8Array {
    const path = onDisk(named('bare.flac'), `foreign-${chapters.length}.flac`);
    execFileSync('metaflac', ['--remove', '--block-type=CUESHEET', path]);
    execFileSync('metaflac', ['--import-cuesheet-from=-', path], { input: SHEET });
    if (chapters.length > 0) execFileSync('metaflac', [...chapters.map((c) => `--set-tag=${c}`), path]);
    return bytesOf(path);
  }

  it('is read with its chapters as one: their names, its places', async () => {
    const chapters = ['CHAPTER001=00:00:00.000', 'CHAPTER001NAME=Start', 'CHAPTER002=00:00:00.700'];
    const { markers, notes } = await readBack(foreign([...chapters, 'CHAPTER002NAME=Rise']), 'x.flac');
    expect(markers.map((m) => [m.time, m.name])).toEqual([
      [0, 'Start'],
      [0.7, 'Rise'],
      [1, 'Track 2'],
    ]);
    expect(new Set(markers.map((m) => m.id)).size).toBe(3);
    expect(notes).toEqual([
      'x.flac: only the first index marks a track’s start; 1 later indexes were left out.',
    ]);
  });

  it('gives the time to the sample where a chapter has it to the millisecond', async () => {
    const { bytes } = await copyBytes(named('bare.flac'), 'x.flac', MARKERS, BLOCK);
    const path = onDisk(bytes, 'no-exact.flac');
    const ours = MARKERS.map((_, i) => `--remove-tag=CHAPTER00${i + 1}BOOTHPROOF`);
    execFileSync('metaflac', [...ours, path]);
    expect((await readBack(bytesOf(path), 'x.flac')).markers.map((m) => [m.time, m.name])).toEqual([
      [4423 / RATE, 'First beat'],
      [0.45, 'Dröp – 夜'],
      [0.45, 'Twin'],
      [0.7, 'Loop of 0.5 beats'],
      [1.2, 'Out'],
    ]);
  });

  it('is kept in a copy, before the comments, and gives way to one that is asked for', async () => {
    const before = foreign([]);
    const body = (await blockOf(before))!;
    const copy = await copyBytes(before, 'x.flac', MARKERS);
    expect(copy.notes).toEqual([
      '“x.flac” has a cue sheet block of its own, which the copy keeps; some programs show that instead of the markers.',
    ]);
    expect(sameBytes((await blockOf(copy.bytes))!, body)).toBe(true);
    const back = await readBack(copy.bytes, 'x.flac');
    expect(back.markers).toEqual(MARKERS);
    expect(back.notes[0]).toContain('has 2 further places that Boothproof’s own chapters do not have');
    expect(probedChapters(onDisk(copy.bytes, 'kept.flac')).map((c) => c.title)).toEqual(
      MARKERS.map(shownName),
    );

    const asked = await copyBytes(before, 'x.flac', MARKERS, BLOCK);
    expect(asked.notes).toEqual([
      'The copy of “x.flac” no longer has the cue sheet block that another program had put there; the original keeps it.',
    ]);
    expect(parseCueSheet((await blockOf(asked.bytes))!)!.tracks).toHaveLength(5);
    expect(await readBack(asked.bytes, 'x.flac')).toMatchObject({ markers: MARKERS, notes: [] });
  });

  it('that changed ours is told, and no chapter is lost; nor is a chapter that was moved', async () => {
    const { bytes } = await copyBytes(named('bare.flac'), 'x.flac', MARKERS, BLOCK);
    const moved = await withBlock(bytes, (sheet) => ({
      ...sheet,
      tracks: sheet.tracks.map((t, i) => (i === 0 ? { ...t, offset: t.offset + 4410 } : t)),
    }));
    const back = await readBack(moved, 'x.flac');
    expect(back.markers).toEqual(MARKERS);
    expect(back.notes[0]).toMatch(/^x\.flac: its cue sheet block, .* has 1 further place /);

    const path = onDisk(bytes, 'chapter-moved.flac');
    execFileSync('metaflac', ['--remove-tag=CHAPTER005', '--set-tag=CHAPTER005=00:00:01.300', path]);
    const again = await readBack(bytesOf(path), 'x.flac');
    expect(again.markers).toEqual(MARKERS.map((m) => (m.id === 'd' ? { ...m, time: 1.3 } : m)));
    expect(again.notes).toEqual([]);
  });

  it('that is damaged is told, and the chapters are read', async () => {
    const { bytes } = await copyBytes(named('bare.flac'), 'x.flac', MARKERS, BLOCK);
    const { blocks } = await readBlocks(bytesSource(bytes, 'x.flac'), 0);
    const block = blocks.find(({ type }) => type === CUESHEET)!;
    const broken = bytes.slice();
    // More tracks than there are bytes for.
    broken[block.body + 128 + 8 + 259] = 200;
    const back = await readBack(broken, 'x.flac');
    expect(back.markers).toEqual(MARKERS);
    expect(back.notes).toEqual([
      'x.flac: the cue sheet block is damaged and was left out; the rest was read.',
    ]);
  });
});

/** Hash of the frames as they stand in the file. */
async function md5OfFrames(bytes: Uint8Array): Promise<string> {
  const { audio } = await readBlocks(bytesSource(bytes, 'x.flac'), 0);
  return createHash('md5').update(bytes.subarray(audio)).digest('hex');
}
