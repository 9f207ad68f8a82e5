/** What goes along, decided and laid out: the choice for each track, the folder's files, and its playlist. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPlaylist } from '../../shared/gig/playlist/read.ts';
import { lookAt, readinessOf } from '../../shared/gig/readiness.ts';
import type { SetEntry, SetTrack } from '../../shared/gig/types.ts';
import { type TakeParts, takeFiles } from '../../src/gig/take/files.ts';
import { type Carriage, loadFaults, takeItems, wishFaults } from '../../src/gig/take/plan.ts';
import { safePath, sameName } from '../../src/take/names.ts';
import { beat, cue, deck, DECKS, poor, small, WAV, wide } from '../survival/helpers.ts';
import { boothOf, entry, setOf, setTrack } from './helpers.ts';

const FLAC96 = { ...WAV, container: 'flac', codec: 'flac', sampleRate: 96000, bitDepth: 24 } as const;
const everywhere = () => true;
const items = (
  tracks: SetTrack[],
  chosen: [string, Carriage][] = [],
  more: Partial<SetEntry> = {},
  isHere: (id: string) => boolean = everywhere,
) =>
  takeItems(setOf(...tracks.map((t) => entry(t, more))), tracks, [wide, poor], null, new Map(chosen), isHere);

describe('what of a track goes along', () => {
  it('its file where every deck loads it, a copy where one does not, nothing where it is not at hand', () => {
    const plain = setTrack('a');
    const flac = setTrack('b', { source: FLAC96 });
    expect(items([plain, flac]).map(({ carriage, number, wish }) => [carriage, number, wish])).toEqual([
      ['as-is', 1, { container: 'wav', depth: 16, rate: 44100 }],
      ['copy', 2, { container: 'aiff', depth: 24, rate: 48000 }],
    ]);
    expect(items([flac])[0].faults).toEqual([
      expect.stringMatching(/^Overview only: .*FLAC/),
      expect.stringMatching(/^Overview only: .*96 kHz/),
    ]);
    expect(items([flac], [['b', 'as-is']])[0].carriage).toBe('as-is');
    expect(items([flac], [['b', 'leave-out']])[0].carriage).toBe('leave-out');
    expect(items([plain], [['a', 'copy']], {}, () => false)[0]).toMatchObject({
      carriage: 'leave-out',
      isHere: false,
    });
  });

  it('a copy where another name is wanted; a track that stands in the set twice goes once', () => {
    const track = setTrack('a');
    expect(items([track], [], { nameOnDrive: 'Harbour (Night)' })[0]).toMatchObject({
      carriage: 'copy',
      rename: 'Harbour (Night)',
    });
    const twice = setOf(entry(track), entry(setTrack('b')), entry(track, { id: 'again' }));
    const found = takeItems(twice, [track, setTrack('b')], [wide], null, new Map(), everywhere);
    expect(found.map(({ track: { id }, number }) => [id, number])).toEqual([
      ['a', 1],
      ['b', 2],
    ]);
  });

  it('no copy where no form suits every deck, and the sentence says why', () => {
    const picky = deck(poor, { media: { formats: ['mp3'] } });
    const [item] = takeItems(
      setOf(entry(setTrack('a'))),
      [setTrack('a')],
      [picky],
      null,
      new Map([['a', 'copy']]),
      everywhere,
    );
    expect(item).toMatchObject({ wish: null, carriage: 'as-is' });
    expect(item.noCopy).toContain('No file suits every deck');
  });

  it('faults name the decks together, and a chosen form is held against them, too', () => {
    expect(loadFaults(WAV, [wide, small, poor])).toEqual([]);
    const faults = loadFaults({ ...WAV, bitDepth: 32 }, [wide, poor]);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(new RegExp(`^${wide.name}, ${poor.name}: `));
    expect(wishFaults({ container: 'aiff', depth: 24, rate: 48000 }, [wide])).toEqual([]);
    const shallow = deck(poor, { media: { maxBitDepth: 16 } });
    expect(wishFaults({ container: 'wav', depth: 24, rate: 48000 }, [shallow])).toHaveLength(1);
  });
});

const parts = (tracks: SetTrack[], more: Partial<TakeParts> = {}, entries = tracks.map((t) => entry(t))) => {
  const set = setOf(...entries);
  return {
    set,
    boothName: 'The Kiln',
    items: takeItems(set, tracks, [poor], null, new Map(), everywhere),
    card: null,
    withMarkers: true,
    level: 'turn-down',
    mostCoverBytes: null,
    createWorker: () => {
      throw new Error('Nothing is to be copied here.');
    },
    blobOf: async (id: string) => new Blob([id]),
    onCopyProgress: () => undefined,
    ...more,
  } satisfies TakeParts;
};

async function textOf(files: ReturnType<typeof takeFiles>['files'], path: string): Promise<string> {
  const file = files.find((each) => each.path === path);
  if (!file) throw new Error(`${path} is not among ${files.map((f) => f.path).join(', ')}`);
  let text = '';
  for await (const piece of await file.open(new AbortController().signal)) {
    text += new TextDecoder().decode(piece);
  }
  return text;
}

describe('the files of the folder', () => {
  const track = setTrack('a', {
    markers: [cue('c', beat(64), 1, { name: 'Drop' })],
    fileName: 'x/Low: Tide?.wav',
  });

  it('stand in the order of the set, music before the playlist that points to it, reports last', async () => {
    const flac = setTrack('b', { source: FLAC96, fileName: 'Weir.flac' });
    const booth = boothOf(poor);
    const set = setOf(entry(track), entry(flac));
    const looked = new Map([track, flac].map((t) => [t.id, lookAt(t, set, booth, DECKS)!]));
    const { card } = readinessOf(set, looked, booth, DECKS);
    const { files, reports } = takeFiles(parts([track, flac], { card }));
    expect(files.map(({ path }) => path)).toEqual([
      'READ ME.txt',
      'Booth card.html',
      'Booth card for the phone.html',
      'Markers/01 x-Low- Tide-.json',
      'Markers/01 x-Low- Tide-.vtt',
      'Music/01 x-Low- Tide-.wav',
      'Music/02 Weir.aiff',
      'Friday.m3u8',
      'Copies.txt',
    ]);
    expect(reports).toEqual([]);
    const list = readPlaylist(new TextEncoder().encode(await textOf(files, 'Friday.m3u8')), 'l.m3u8');
    expect(list.entries.map(({ path, title }) => [path, title])).toEqual([
      ['Music/01 x-Low- Tide-.wav', 'Harbour a'],
      ['Music/02 Weir.aiff', 'Harbour b'],
    ]);
    expect(await textOf(files, 'Music/01 x-Low- Tide-.wav')).toBe('a');
    expect(await textOf(files, 'Booth card.html')).toContain('Harbour b');
    const readMe = await textOf(files, 'READ ME.txt');
    expect(readMe).toContain('Markers/');
    expect(readMe).toContain('decks keep databases of their own');
  });

  it('what is not wanted or not there leaves no trace', async () => {
    const { files } = takeFiles(
      parts([track], { withMarkers: false }, [entry(track), entry(setTrack('z'), { trackId: null })]),
    );
    expect(files.map(({ path }) => path)).toEqual([
      'READ ME.txt',
      'Music/01 x-Low- Tide-.wav',
      'Friday.m3u8',
    ]);
    expect(await textOf(files, 'READ ME.txt')).not.toContain('Markers/');
    const list = readPlaylist(new TextEncoder().encode(await textOf(files, 'Friday.m3u8')), 'l.m3u8');
    expect(list.entries).toHaveLength(1);
    const gone = takeFiles(parts([track], { blobOf: async () => null })).files;
    await expect(textOf(gone, 'Music/01 x-Low- Tide-.wav')).rejects.toThrow('give it again in the library');
  });

  it('whatever the names, every path is safe and its own, and the playlist names the music', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }), {
          minLength: 1,
          maxLength: 6,
        }),
        fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }),
        async (names, setName) => {
          const tracks = names.map((fileName, i) => setTrack(`t${i}`, { fileName, markers: track.markers }));
          const made = parts(tracks);
          const { files } = takeFiles({ ...made, set: { ...made.set, name: setName } });
          const paths = files.map(({ path }) => path);
          for (const path of paths) expect(safePath(path)).toBe(path);
          expect(new Set(paths.map(sameName)).size).toBe(paths.length);
          const music = paths.filter((path) => path.startsWith('Music/'));
          expect(music).toHaveLength(names.length);
          const list = readPlaylist(
            new TextEncoder().encode(
              await textOf(
                files,
                paths.find((path) => path.endsWith('.m3u8'))!,
              ),
            ),
            'l.m3u8',
          );
          expect(list.entries.map(({ path }) => path)).toEqual(music);
        },
      ),
      { numRuns: 60 },
    );
  });
});
