import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPlaylist } from '../../shared/gig/playlist/read.ts';
import { writePlaylist } from '../../shared/gig/playlist/m3u8.ts';
import { matchEntries, matchSentence } from '../../shared/gig/playlist/match.ts';
import { fileNamesOf, stemOf } from '../../shared/gig/playlist/path.ts';
import type { PlaylistEntry } from '../../shared/gig/playlist/types.ts';
import { GigFault } from '../../shared/gig/types.ts';

const bytes = (text: string) => new TextEncoder().encode(text);
const read = (text: string, name = 'friday.m3u8') => readPlaylist(bytes(text), name);

describe('M3U8 by others', () => {
  it('reads durations, artists, titles and paths of every system', () => {
    const { entries, name, notes } = read(
      [
        '\ufeff#EXTM3U',
        '#PLAYLIST:Friday',
        '#EXTINF:213.5,Mira Quell - Harbour - Night Mix',
        'C:\\Music\\Mira Quell\\harbour.mp3',
        '',
        '# a comment',
        '#EXTINF:-1,Untold',
        'crate/./Óda.flac',
        '#EXTINF:181 key="x, y",Weir',
        'file:///Users/dj/My%20Music/Weir%20%231.wav?x#y',
        'https://example.org/a/b.mp3',
      ].join('\r\n'),
    );
    expect(name).toBe('Friday');
    expect(entries.map(({ title, artist, seconds }) => [artist, title, seconds])).toEqual([
      ['Mira Quell', 'Harbour - Night Mix', 213.5],
      ['', 'Untold', null],
      ['', 'Weir', 181],
      ['', '', null],
    ]);
    expect(entries.map(({ path }) => fileNamesOf(path)[0])).toEqual([
      'harbour.mp3',
      'Óda.flac',
      'Weir #1.wav',
      'b.mp3',
    ]);
    expect(notes).toEqual(['friday.m3u8: one track is on the web; a deck plays files from a drive only.']);
  });

  it('reads a bare list, says so, and takes a file that is no list for none', () => {
    const { entries, notes } = read('a.mp3\nb.mp3\n');
    expect(entries.map(({ path }) => path)).toEqual(['a.mp3', 'b.mp3']);
    expect(notes[0]).toContain('does not begin with #EXTM3U');
    expect(() => read('#EXTM3U\n#EXTINF:1,a\n')).toThrow(GigFault);
    expect(() => readPlaylist(new Uint8Array([35, 0, 1, 2]), 'x.m3u8')).toThrow('not a text');
    expect(() => readPlaylist(new Uint8Array(4_000_001), 'x.m3u8')).toThrow('choose a playlist');
  });

  it('keeps an entry whose #EXTINF cannot be read, and tells it', () => {
    const { entries, notes } = read('#EXTM3U\n#EXTINF:long,Weir\nweir.wav\n');
    expect(entries).toMatchObject([{ title: '', path: 'weir.wav', seconds: null }]);
    expect(notes[0]).toContain('1 line with #EXTINF');
  });

  it('knows percent-encoding, and a name that only looks like it', () => {
    expect(fileNamesOf('My%20Crate/Low%20Tide.wav')).toEqual(['Low%20Tide.wav', 'Low Tide.wav']);
    expect(fileNamesOf('file:///a/Low%20Tide.wav')).toEqual(['Low Tide.wav', 'Low%20Tide.wav']);
    expect(fileNamesOf('a/100%.wav')).toEqual(['100%.wav']);
    expect(fileNamesOf('a/%ff.wav')).toEqual(['%ff.wav']);
    expect([stemOf('Tide (v1.2).flac'), stemOf('.wav'), stemOf('Mr. Tide')]).toEqual([
      'Tide (v1.2)',
      '.wav',
      'Mr. Tide',
    ]);
  });
});

describe('CSV by others', () => {
  it('finds columns by their headings, in any order, with semicolons and decimal commas', () => {
    const { entries, notes } = read(
      'File Name;Mix Out;Title;Artist;Mix-In;Comment\nweir.wav;3:20,5;Weir;Mira Quell;12,25;slow\n;;;;;\n"Tide; low.wav";soon;;;;\n',
      'set.csv',
    );
    expect(entries).toEqual([
      {
        title: 'Weir',
        artist: 'Mira Quell',
        path: 'weir.wav',
        seconds: null,
        mixIn: 12.25,
        mixOut: 200.5,
        note: 'slow',
      },
      { title: '', artist: '', path: 'Tide; low.wav', seconds: null, mixIn: null, mixOut: null, note: '' },
    ]);
    expect(notes).toEqual([
      'set.csv: times were left out in line 4; write seconds such as 83.25, or 1:23.25.',
      'set.csv: one line names no track.',
    ]);
  });

  it('says what is missing', () => {
    expect(() => read('bpm,key\n120,Am\n', 'set.csv')).toThrow('no column is called “title” or “file”');
    expect(() => read('title\n"open', 'set.csv')).toThrow('set.csv, line 2');
    expect(() => read('', 'set.csv')).toThrow('is empty');
  });
});

/**
 * What of RFC 8216 a list breaks, read from the standard: 4 (UTF-8, no mark, no control characters but the ends of
 * lines, NFC), 4.1 (#EXTM3U is the first line), 4.3.2.1 (whole seconds where no version is stated; one for each file).
 */
function brokenRules(list: string): string[] {
  const broken: string[] = [];
  if (new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes(list)) !== list) {
    broken.push('is not UTF-8');
  }
  if (list.startsWith('\ufeff')) broken.push('begins with a mark');
  if (/(?![\r\n])\p{Cc}/u.test(list)) broken.push('has control characters');
  if (list.normalize('NFC') !== list) broken.push('is not NFC');
  const lines = list.split(/\r?\n/);
  if (lines[0] !== '#EXTM3U') broken.push('does not begin with #EXTM3U');
  let info = false;
  lines.forEach((line, i) => {
    const where = `line ${i + 1}`;
    const said = /^#EXTINF:([^,]*),/.exec(line);
    if (said) {
      if (info) broken.push(`${where}: two in a row`);
      if (!/^\d+$/.test(said[1])) broken.push(`${where}: seconds that are not whole`);
      if (!lines.slice(i + 1).some((l) => l && !l.startsWith('#'))) broken.push(`${where}: no file follows`);
      info = true;
    } else if (line && !line.startsWith('#')) {
      if (!info) broken.push(`${where}: a file without #EXTINF`);
      info = false;
    }
  });
  return broken;
}

const text = fc.string({ unit: 'grapheme', maxLength: 30 });
const name = fc
  .string({ unit: 'grapheme', minLength: 1, maxLength: 30 })
  .map((s) => s.replace(/[/\\\p{Cc}\p{Cs}\u2028\u2029]/gu, '_'))
  .filter((s) => s.trim() !== '' && s !== '.' && s !== '..');
const seconds = fc.option(
  fc.double({ min: 0, max: 7200, noNaN: true, noDefaultInfinity: true }).map(Math.abs),
);
const entryArbitrary: fc.Arbitrary<PlaylistEntry> = fc.record({
  title: text,
  artist: text,
  path: fc.tuple(name, name).map(([folder, file]) => `${folder}/${file}.wav`),
  seconds,
  mixIn: seconds,
  mixOut: seconds,
  note: text,
});

describe('writing M3U8', () => {
  it('reads back as it was written, whatever the names', () => {
    fc.assert(
      fc.property(fc.array(entryArbitrary, { minLength: 1, maxLength: 8 }), name, (entries, listName) => {
        const written = writePlaylist(entries, ({ path }) => path, listName);
        const back = read(written);
        const clean = (s: string) => s.replace(/\p{Cs}/gu, '\ufffd');
        expect(back.entries.map(({ path: _, ...rest }) => rest)).toEqual(
          entries.map(({ path: _, title, artist, note, ...rest }) => ({
            ...rest,
            title: clean(title),
            artist: clean(artist),
            note: clean(note),
          })),
        );
        // The file is found again: its name is among those that the path can mean, the likeliest first.
        back.entries.forEach(({ path }, i) => {
          const name = entries[i].path.split('/')[1];
          const names = fileNamesOf(path);
          if (name.normalize('NFC') === name) expect(names[0]).toBe(name);
          else expect(names).toContain(name);
        });
        expect(back.notes).toEqual([]);
      }),
    );
  });

  it('keeps the rules of RFC 8216 whatever is in it', () => {
    const wild = fc.string({ unit: 'binary', maxLength: 20 });
    const anyEntry = fc.record({
      title: wild,
      artist: wild,
      path: wild.map((s) => `${s}.wav`),
      seconds,
      mixIn: seconds,
      mixOut: seconds,
      note: wild,
    });
    const list = fc.array(fc.oneof(entryArbitrary, anyEntry), { maxLength: 6 });
    fc.assert(
      fc.property(list, fc.option(wild), (entries, listName) => {
        expect(brokenRules(writePlaylist(entries, ({ path }) => path, listName))).toEqual([]);
      }),
    );
    expect(brokenRules('\ufeff#EXTM3U\n')).toEqual([
      'begins with a mark',
      'does not begin with #EXTM3U',
      'line 1: a file without #EXTINF',
    ]);
    expect(brokenRules('#EXTM3U\n#EXTINF:1.5,e\u0301\u0085\n')).toEqual([
      'has control characters',
      'is not NFC',
      'line 2: seconds that are not whole',
      'line 2: no file follows',
    ]);
  });

  it('keeps the rules of RFC 8216: no mark, #EXTM3U first, one line each, no path taken for a comment', () => {
    const entry = (path: string): PlaylistEntry => ({
      title: 'Low\nTide',
      artist: 'Mira Quell',
      path,
      seconds: 0.2,
      mixIn: null,
      mixOut: null,
      note: '',
    });
    const written = writePlaylist([entry('#1 Tide.wav'), entry('a/b\nc.wav'), entry('gone')], ({ path }) =>
      path === 'gone' ? null : path,
    );
    const lines = written.split('\n');
    expect(lines[0]).toBe('#EXTM3U');
    expect(lines.filter((line) => line.startsWith('#EXTINF'))).toEqual(
      Array(2).fill('#EXTINF:1,Mira Quell - Low Tide'),
    );
    expect(lines.filter((line) => line && !line.startsWith('#'))).toEqual(['./#1 Tide.wav', 'a/b%0Ac.wav']);
    expect(fileNamesOf('a/b%0Ac.wav')).toContain('b\nc.wav');
  });
});

describe('finding entries in the library', () => {
  const track = (id: string, fileName: string, title: string, artist: string | null, duration = 200) => ({
    id,
    fileName,
    title,
    artist,
    duration,
  });
  const library = [
    track('1', 'Weir.flac', 'Weir', 'Mira Quell'),
    track('2', 'low tide.wav', 'Low Tide', 'Oskar Venn', 200),
    track('3', 'Low Tide.wav', 'Low Tide', 'Oskar Venn', 260),
    track('4', '03.mp3', 'Café', null),
  ];
  const match = (entries: Partial<PlaylistEntry>[]) => {
    let n = 0;
    const blank = { title: '', artist: '', path: '', seconds: null, mixIn: null, mixOut: null, note: '' };
    return matchEntries(
      entries.map((e) => ({ ...blank, ...e })),
      library,
      () => `e${++n}`,
    );
  };

  it('goes by the file, then by the file without its ending, then by title and artist', () => {
    const { matches, entries, unmatched } = match([
      { path: '/music/Weir.flac' },
      { path: 'D:\\sticks\\WEIR.aiff' },
      { path: 'Low%20Tide.wav' },
      { title: 'cafe\u0301' },
      { title: 'Café', artist: 'Somebody' },
      { title: 'Weir', artist: 'mira  quell', path: 'x.mp3', mixIn: 10, mixOut: 900 },
    ]);
    expect(matches.map(({ trackId, by }) => [trackId, by])).toEqual([
      ['1', 'file'],
      ['1', 'file-without-ending'],
      ['3', 'file'],
      ['4', 'title'],
      [null, null],
      ['1', 'title'],
    ]);
    expect(unmatched.map(({ id, title, artist }) => [id, title, artist])).toEqual([
      ['e5', 'Café', 'Somebody'],
    ]);
    // A point after the end of the track is left out.
    expect(entries[5]).toMatchObject({ title: 'Weir', artist: 'Mira Quell', mixIn: 10, mixOut: null });
  });

  it('of several takes the one of the same length and names the others', () => {
    const found = match([
      { title: 'Low Tide', artist: 'Oskar Venn', seconds: 261 },
      { title: 'Low Tide', artist: 'Oskar Venn', seconds: 400 },
    ]);
    expect(found.matches).toMatchObject([
      { trackId: '3', others: ['2'] },
      { trackId: '2', others: ['3'] },
    ]);
    expect(matchSentence(found)).toBe(
      '2 of 2 tracks were found in the library. For 2 of them more than one track fits: look whether the right one was taken.',
    );
  });
});
