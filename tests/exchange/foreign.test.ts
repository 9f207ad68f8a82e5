/** Files as other programs write them, by the published rules of each format, and what is said about wrong ones. */
import { Ajv } from 'ajv';
import { describe, expect, it } from 'vitest';
import { csv } from '../../shared/exchange/csv/index.ts';
import { cueSheet } from '../../shared/exchange/cue-sheet/index.ts';
import { readMarkersText } from '../../shared/exchange/formats.ts';
import { markersJson } from '../../shared/exchange/json/index.ts';
import { textOfBytes } from '../../shared/exchange/text.ts';
import type { TextFormat } from '../../shared/exchange/types.ts';
import { webvtt } from '../../shared/exchange/webvtt/index.ts';
import { EXAMPLE } from './arbitrary.ts';
import { publishedSchema, schemaText } from './json-schema.ts';

const context = { fileName: 'Slow Ferry.x', duration: 301.5 };

const places = (format: TextFormat, text: string) =>
  format.read(text, context).markers.map((m) => [m.kind, m.time, m.name]);

function faultOf(format: TextFormat, text: string): string {
  try {
    format.read(text, context);
  } catch (error) {
    return (error as Error).message;
  }
  throw new Error('It was read.');
}

describe('WebVTT (W3C WebVTT, section 4)', () => {
  it('takes headers, notes, styles, identifiers, settings, tags and character references as the standard has them', () => {
    const text = [
      'WEBVTT - chapters of the night',
      'Kind: chapters',
      '',
      'NOTE',
      'made by hand',
      '',
      'STYLE',
      '::cue { color: red }',
      '',
      'intro',
      '00:00.000 --> 01:01.250 align:start',
      'Intro &amp; <b>first</b> beat &#x201c;one&#8221;',
      '',
      '01:00:01.250 --> 01:00:02.000',
      'Two',
      'lines',
      '',
    ].join('\n');
    expect(places(webvtt, text)).toEqual([
      ['mark', 0, 'Intro & first beat “one”'],
      ['mark', 3601.25, 'Two lines'],
    ]);
  });

  it.each([
    [
      '',
      'Slow Ferry.x, line 1: a WebVTT file begins with the word WEBVTT; choose another file or add the line.',
    ],
    [
      'WEBVTT\n\n00:00,000 --> 00:01,000\nA',
      'Slow Ferry.x, line 3: the times cannot be read; write them as “00:01:02.500 --> 00:01:03.000”.',
    ],
    [
      'WEBVTT\n\nid\n00:61.000 --> 02:01.000\nA',
      'Slow Ferry.x, line 4: the times cannot be read; write them as “00:01:02.500 --> 00:01:03.000”.',
    ],
    [
      'WEBVTT\n\n00:02.000 --> 00:01.000\nA',
      'Slow Ferry.x, line 3: the cue ends before it begins; exchange its two times.',
    ],
    [
      'WEBVTT\n\nA lonely line',
      'Slow Ferry.x, line 3: this block has no line of times such as “00:01.000 --> 00:02.000”; add it, or put NOTE in front.',
    ],
  ])('refuses %j with a sentence', (text, sentence) => {
    expect(faultOf(webvtt, text)).toBe(sentence);
  });

  it('writes exactly this', () => {
    // Times in whole ms: 183.0625 s → 183 063 (half up). Each cue ends where the next begins, the last at 301.5 s.
    const text = webvtt.write(EXAMPLE, { ...context, title: 'Slow Ferry' });
    expect(text.split('\n').filter((line) => !line.startsWith('boothproof '))).toEqual([
      'WEBVTT Slow Ferry',
      '',
      '00:00:00.512 --> 00:01:01.250',
      'First beat',
      '',
      '00:01:01.250 --> 00:03:03.063',
      'Drop',
      '',
      '00:03:03.063 --> 00:04:05.500',
      'Loop of 16 beats',
      '',
      '00:04:05.500 --> 00:05:01.500',
      'Last "clean" &lt;32&gt; &amp; out',
      '',
    ]);
  });
});

describe('CUE sheet (common practice, no source)', () => {
  it('takes index 1 of every audio track: frames are 1/75 s', () => {
    const text = [
      'REM GENRE House',
      'PERFORMER "Marl Quay"',
      'FILE "Slow Ferry.wav" WAVE',
      '  TRACK 01 AUDIO',
      '    TITLE "Intro, long"',
      '    INDEX 01 00:00:00',
      '  track 02 audio',
      '    PREGAP 00:02:00',
      '    TITLE Drop',
      '    INDEX 00 01:00:00',
      '    INDEX 01 01:01:60',
      '    INDEX 02 02:00:00',
      '  TRACK 03 MODE1/2352',
      '    SHUFFLE yes',
    ].join('\r\n');
    const { notes } = cueSheet.read(text, context);
    // 60 frames are 0.8 s.
    expect(places(cueSheet, text)).toEqual([
      ['mark', 0, 'Intro, long'],
      ['mark', 61.8, 'Drop'],
    ]);
    expect(notes).toEqual([
      'Slow Ferry.x: 1 tracks that are not audio were left out.',
      'Slow Ferry.x: only INDEX 01 marks a track’s start; 1 later indexes were left out.',
      'Slow Ferry.x: pauses (PREGAP) are not in the audio and were left out.',
      'Slow Ferry.x: not known here and left out: SHUFFLE.',
    ]);
  });

  it.each([
    ['x', 'Slow Ferry.x has no TRACK line, so it is no cue sheet: choose another file.'],
    [
      'TRACK 01 AUDIO\nINDEX 01 00:00:75',
      'Slow Ferry.x, line 2: INDEX needs a number and a time mm:ss:ff (seconds to 59, frames to 74), such as “INDEX 01 03:25:60”.',
    ],
    ['INDEX 01 00:00:00', 'Slow Ferry.x, line 1: INDEX stands before any TRACK; put a TRACK line first.'],
    [
      'TRACK 01 AUDIO\nTITLE "x"',
      'Slow Ferry.x, line 1: this track has no INDEX 01; add the time at which it begins.',
    ],
    [
      'FILE "a" WAVE\nTRACK 1 AUDIO\nINDEX 1 0:0:0\nFILE "b" WAVE',
      'Slow Ferry.x, line 4: a second FILE begins here (the first is in line 1); make one sheet for each audio file.',
    ],
    ['TRACK one AUDIO', 'Slow Ferry.x, line 1: TRACK needs a number and a kind, such as “TRACK 01 AUDIO”.'],
  ])('refuses %j with a sentence', (text, sentence) => {
    expect(faultOf(cueSheet, text)).toBe(sentence);
  });

  it('writes exactly this', () => {
    // 0.512 s = 38.4 → 38 frames; 61.25 s = 61 s + 18.75 → 19; 183.0625 s = 4.6875 → 5; 245.5 s = 37.5 → 38.
    const text = cueSheet.write(EXAMPLE, {
      ...context,
      title: 'Slow "Ferry"',
      artist: 'Marl Quay',
      audioName: 'a.mp3',
    });
    expect(text.split('\r\n').filter((line) => !line.includes('REM boothproof {'))).toEqual([
      'PERFORMER "Marl Quay"',
      `TITLE "Slow 'Ferry'"`,
      'FILE "a.mp3" MP3',
      '  TRACK 01 AUDIO',
      '    TITLE "Start"',
      '    REM boothproof start',
      '    INDEX 01 00:00:00',
      '  TRACK 02 AUDIO',
      '    TITLE "First beat"',
      '    INDEX 01 00:00:38',
      '  TRACK 03 AUDIO',
      '    TITLE "Drop"',
      '    INDEX 01 01:01:19',
      '  TRACK 04 AUDIO',
      '    TITLE "Loop of 16 beats"',
      '    INDEX 01 03:03:05',
      '  TRACK 05 AUDIO',
      `    TITLE "Last 'clean' <32> & out"`,
      '    INDEX 01 04:05:38',
      '',
    ]);
  });
});

describe('CSV (RFC 4180)', () => {
  it('takes a table of times and names, with clock times, in any order of columns', () => {
    const text = 'Name,TIME,Mood\r\n"Drop, ""big""",1:01.25,good\r\nOut,245.5,\r\n';
    expect(places(csv, text)).toEqual([
      ['mark', 61.25, 'Drop, "big"'],
      ['mark', 245.5, 'Out'],
    ]);
    expect(csv.read(text, context).notes).toEqual(['Slow Ferry.x: not known here and left out: “Mood”.']);
  });

  it('takes semicolons with decimal commas', () => {
    const text = 'time;name;kind;end\n61,25;Drop;mark;\n"70,5";Loop;loop;74,5\n';
    expect(csv.read(text, context).markers).toMatchObject([
      { kind: 'mark', time: 61.25, name: 'Drop' },
      { kind: 'loop', time: 70.5, endTime: 74.5, beats: null },
    ]);
  });

  it('lets no spreadsheet take a name for a formula', () => {
    const marks = [`=1+1`, `'=1+1`, `@x`, `'quoted'`].map((name, i) => ({
      ...EXAMPLE[1],
      id: `m${i}`,
      time: i,
      name,
    }));
    const text = csv.write(marks, context);
    expect(
      text
        .split('\r\n')
        .slice(1, 5)
        .map((line) => line.split(',')[3]),
    ).toEqual([`'=1+1`, `''=1+1`, `'@x`, `'quoted'`]);
    expect(csv.read(text, context).markers).toEqual(marks);
  });

  it.each([
    ['', 'Slow Ferry.x is empty: choose a table with a heading and one line for each marker.'],
    [
      'name\nDrop',
      'Slow Ferry.x, line 1: the heading has no column “time”; the columns are kind, time, end, name, slot, colour, importance, beats, id, of which only “time” must be there.',
    ],
    [
      'time,name\n1,a\nlater,b',
      'Slow Ferry.x, line 3: time is “later”; it must be seconds such as 83.25, or a clock time such as 1:23.250.',
    ],
    [
      'time,name\n\n1',
      'Slow Ferry.x, line 3: this line has 1 fields and the heading has 2; give it as many.',
    ],
    ['time,kind\n1,fader', 'Slow Ferry.x, line 2: kind is “fader”; it must be cue, mark or loop.'],
    [
      'time,kind,slot\n1,cue,9',
      'Slow Ferry.x, line 2: slot is “9”; it must be empty or a whole number from 1 to 8.',
    ],
    ['time,kind,end\n1,loop,1', 'Slow Ferry.x, line 2: end is “1”; a loop must end after its time.'],
    [
      'time,kind,colour\n1,cue,red',
      'Slow Ferry.x, line 2: colour is “red”; it must be empty or a colour such as #c05a2b.',
    ],
    ['time,time\n1,1', 'Slow Ferry.x, line 1: the column “time” is there twice; delete or rename one.'],
    ['time,name\n1,"a', 'Slow Ferry.x, line 2: a double quote is not closed; add the closing one.'],
    ['time\n-1', 'Slow Ferry.x, line 2: time is “-1”; it must be given, in seconds from the start.'],
  ])('refuses %j with a sentence', (text, sentence) => {
    expect(faultOf(csv, text)).toBe(sentence);
  });
});

describe('our JSON', () => {
  it('has a published JSON Schema that is in step', async () => {
    expect(publishedSchema()).toBe(await schemaText());
  });

  it('fits it by an independent validator, which refuses what the reader refuses', () => {
    const accepts = new Ajv({ allErrors: true }).compile(JSON.parse(publishedSchema()) as object);
    const file = JSON.parse(markersJson.write(EXAMPLE, context)) as { markers: Record<string, unknown>[] };
    accepts(file);
    expect(accepts.errors).toBeNull();
    for (const [key, value] of [
      ['slot', 9],
      ['time', -1],
      ['kind', 'fader'],
      ['extra', 1],
      ['importance', 0],
      ['colour', 'RED'],
      ['name', 'x'.repeat(81)],
    ] as const) {
      const changed = structuredClone(file);
      changed.markers[0][key] = value;
      expect(accepts(changed), key).toBe(false);
      expect(faultOf(markersJson, JSON.stringify(changed))).toMatch(/^Slow Ferry\.x: markers → entry 1/);
    }
  });

  it.each([
    ['', 'Slow Ferry.x is empty: choose a file of markers.'],
    [
      '{\n"format": }',
      'Slow Ferry.x, line 2: not valid JSON at column 11: "}" stands there; it must be a value.',
    ],
    [
      '{"format":"boothproof-markers","version":2,"markers":[]}',
      'Slow Ferry.x was written by a newer Boothproof (version 2 of the format): reload the page to get the newer one.',
    ],
    ['{"format":"boothproof-markers","version":1}', 'Slow Ferry.x: markers is missing; it must be given.'],
  ])('refuses %j with a sentence', (text, sentence) => {
    expect(faultOf(markersJson, text)).toBe(sentence);
  });

  it('refuses two markers of one id, and says when it was made for another track', () => {
    const twice = markersJson.write(EXAMPLE, context).replace('"id":"b"', '"id":"a"');
    expect(faultOf(markersJson, twice)).toBe('Slow Ferry.x: Two markers have the id "a": give each its own.');
    const { notes } = markersJson.read(markersJson.write(EXAMPLE, context), { ...context, duration: 240 });
    expect(notes).toEqual([
      'Slow Ferry.x was made for a track of 5:01, and this one has 4:00: check that the file belongs to it.',
      'Slow Ferry.x: 1 marker lies after the track’s end (4:00): check that the file belongs to this track.',
    ]);
  });
});

describe('bytes', () => {
  it('are read as UTF-16 with a mark, as UTF-8, else as Windows western European, which is told', () => {
    const utf16 = Uint8Array.of(0xff, 0xfe, 0x41, 0, 0xe9, 0);
    expect(textOfBytes(utf16, 'x')).toEqual({ text: 'Aé', notes: [] });
    expect(textOfBytes(new TextEncoder().encode('Aé'), 'x')).toEqual({ text: 'Aé', notes: [] });
    const { text, notes } = textOfBytes(Uint8Array.of(0x41, 0xe9), 'x');
    expect(text).toBe('Aé');
    expect(notes[0]).toContain('not in UTF-8');
  });

  it('of something else are refused with a sentence', () => {
    expect(() => readMarkersText(new Uint8Array(10), { ...context, fileName: 'cover.png' })).toThrow(
      'cover.png is no file of markers that is known here: choose one of .json, .csv, .vtt, .cue.',
    );
    expect(() => readMarkersText(new Uint8Array(4_000_001), context)).toThrow(
      /far more than any list of markers/,
    );
  });
});
