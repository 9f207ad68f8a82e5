/** Reading profiles that people wrote. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { csv } from '../../shared/exchange/csv/index.ts';
import { cueSheet } from '../../shared/exchange/cue-sheet/index.ts';
import { markersJson } from '../../shared/exchange/json/index.ts';
import { webvtt } from '../../shared/exchange/webvtt/index.ts';
import { BACKUP_FORMAT } from '../../shared/own-files.ts';
import { MAX_PROBLEMS, MAX_PROFILE_CHARACTERS, readProfile } from '../../shared/profile/read.ts';
import type { ProfileFile } from '../../shared/profile/schema.ts';
import { placeInWords } from '../../shared/profile/sentences.ts';
import { writeProfile } from '../../shared/profile/write.ts';
import { loadProfile } from '../../src/profiles/files.ts';
import { EXAMPLE } from '../exchange/arbitrary.ts';
import { shippedFile, shippedText } from './files.ts';

function problemsOf(input: unknown): string[] {
  const read = readProfile(input, 'mine.json');
  return read.ok ? [] : read.problems;
}

/** A shipped profile with one thing changed, as data that need not fit the schema. */
function changed(change: (file: ProfileFile) => void, id = 'small-touch'): unknown {
  const file = shippedFile(id);
  change(file);
  return file;
}

/** Puts any value where the types allow only a right one. */
const put = (target: object, key: string, value: unknown) => Object.assign(target, { [key]: value });

const NONE =
  'mine.json: is no deck profile: it lacks the facts of a deck; choose one that was saved in Decks with “Save to a file”.';
const NO_TEXT =
  'mine.json: is no text, so it is no deck profile; choose one that was saved in Decks with “Save to a file”.';
const MARKERS =
  'mine.json: is a file of markers, no deck profile: open its track in Mark and read it there under “Save and read markers”.';

describe('a file that is no profile', () => {
  it.each([
    ['', 'mine.json: is empty; it must hold a deck profile in JSON.'],
    [' \n', 'mine.json: is empty; it must hold a deck profile in JSON.'],
    [
      '{\n  "format": "x",\n}',
      'mine.json: is not valid JSON at line 3, column 1: "}" stands there; it must be a name in double quotes.',
    ],
    [
      '{"a": 1',
      'mine.json: is not valid JSON at line 1, column 8: the end of the file stands there; it must be a comma or "}".',
    ],
    ...['[]', 'null', '7', '"x"', '{}', '{ "name": "Attic", "version": 1 }', 'hello', '<html></html>'].map(
      (text) => [text, NONE],
    ),
    ['RIFF\0\0', NO_TEXT],
  ])('%j gets one sentence', (text, sentence) => {
    expect(problemsOf(text)).toEqual([sentence]);
  });

  const context = {
    ...{ fileName: 'mine.json', duration: 301.5, title: 'Slow Ferry', artist: null },
    audioName: null,
  };
  const told = (what: string) =>
    `mine.json: is no deck profile, it may be markers (${what}): open their track in Mark and read them there under “Save and read markers”.`;
  it.each([
    [
      'a backup',
      `{"format":"${BACKUP_FORMAT}","version":2,"writtenAt":1}\n{"end":true}\n`,
      'mine.json: is a backup, no deck profile: restore it under “Back up and restore”.',
    ],
    ['markers', markersJson.write(EXAMPLE, context), MARKERS],
    ['markers in one line', JSON.stringify(JSON.parse(markersJson.write(EXAMPLE, context))), MARKERS],
    ['markers that are cut', markersJson.write(EXAMPLE, context).slice(0, 200), MARKERS],
    ['chapters', webvtt.write(EXAMPLE, context), told('WebVTT chapters')],
    ['a CUE sheet', cueSheet.write(EXAMPLE, context), told('CUE sheet')],
    ['a table', csv.write(EXAMPLE, context), told('Table (CSV)')],
    [
      'a playlist',
      '#EXTM3U\nslow.mp3\n',
      'mine.json: is a playlist, no deck profile: Gig reads it with “Set from a playlist”.',
    ],
  ])('%s is told where it belongs', (_, text, sentence) => {
    expect(problemsOf(text)).toEqual([sentence]);
  });

  it('is told what it is though it is larger than any profile, and though its first key is another', () => {
    const long = `{"format":"${BACKUP_FORMAT}"}\n${' '.repeat(MAX_PROFILE_CHARACTERS)}`;
    expect(problemsOf(long)).toEqual([expect.stringMatching(/is a backup, no deck profile/)]);
    expect(problemsOf({ note: 'x'.repeat(900), format: BACKUP_FORMAT })).toEqual([
      expect.stringMatching(/is a backup, no deck profile/),
    ]);
  });

  it('is one that only lacks much where it says so, or has most of the fields or of the facts', () => {
    const { format, facts, ...rest } = shippedFile('small-touch');
    expect(problemsOf({ format })).toHaveLength(8);
    expect(problemsOf(rest)).toEqual([
      'mine.json: format is missing; it must be given.',
      'mine.json: facts is missing; it must be given.',
    ]);
    expect(problemsOf({ facts })).toHaveLength(8);
    expect(problemsOf({ facts: { screen: facts.screen } })).toEqual([NONE]);
  });

  it('is refused for its size before it is parsed', () => {
    const [problem] = problemsOf(' '.repeat(MAX_PROFILE_CHARACTERS + 1));
    expect(problem).toContain(`at most ${MAX_PROFILE_CHARACTERS}`);
  });

  it('gets at most twenty sentences and the number of the rest', () => {
    const bad = changed((file) => {
      for (const group of Object.values(file.facts)) for (const name in group) put(group, name, 0);
    });
    const problems = problemsOf(bad);
    expect(problems).toHaveLength(MAX_PROBLEMS + 1);
    expect(problems[MAX_PROBLEMS]).toMatch(/^mine\.json: \d+ more /);
  });

  it('never makes the reader throw', () => {
    const throwing = {
      get format(): string {
        throw new Error('no');
      },
    };
    expect(readProfile(throwing, 'x').ok).toBe(false);
    const revoked = Proxy.revocable({}, {});
    revoked.revoke();
    expect(readProfile(revoked.proxy, 'x').ok).toBe(false);
    const deep = '['.repeat(50_000);
    expect(problemsOf(deep)[0]).toContain('levels');
    fc.assert(
      fc.property(fc.oneof(fc.anything(), fc.string(), fc.json()), (input) => {
        const read = readProfile(input, 'x.json');
        expect(read.ok).toBe(false);
        if (!read.ok) for (const sentence of read.problems) expect(sentence).toMatch(/^x\.json: .+\.$/);
      }),
      { numRuns: 500 },
    );
  });
});

describe('a profile with something wrong', () => {
  it.each<[string, (file: ProfileFile) => void, string]>([
    [
      'a number out of range',
      (f) => put(f.facts.hotCues.slots, 'value', 99),
      'facts → hot cues → slots is 99; it must be at most 16',
    ],
    [
      'a fraction for a count',
      (f) => put(f.facts.screen.columns, 'value', 800.5),
      'facts → screen → columns is 800.5; it must be a whole number',
    ],
    [
      'a text for a number',
      (f) => put(f.facts.list.rows, 'value', '8'),
      'facts → list → rows is "8"; it must be a number',
    ],
    [
      'an unknown kind',
      (f) => put(f.facts.waveform.kinds, 'value', ['tint', 'rainbow']),
      'facts → waveform → kinds → entry 2 is "rainbow"; it must be "three-band" or "tint" or "single"',
    ],
    [
      'an unknown provenance',
      (f) => put(f.facts.media.discSlot, 'from', 'a friend'),
      'facts → media → disc slot → from is "a friend"; it must be "common practice, no source" or "from memory" or "estimate"',
    ],
    [
      'a value without provenance',
      (f) => put(f.facts.phase, 'readout', 'none'),
      'facts → phase → readout is "none"; it must be an object in braces',
    ],
    [
      'a missing fact',
      (f) => Reflect.deleteProperty(f.facts.loops, 'shortest'),
      'facts → loops → shortest is missing; it must be given',
    ],
    [
      'a missing group',
      (f) => Reflect.deleteProperty(f.facts, 'beatJump'),
      'facts → beat jump is missing; it must be given',
    ],
    [
      'a fact nobody knows',
      (f) => put(f.facts.screen, 'colour', 1),
      'facts → screen → colour is not known here; remove it or check its spelling',
    ],
    [
      'no file format at all',
      (f) => put(f.facts.media.formats, 'value', []),
      'facts → media → formats is an empty list; it needs at least 1 entry',
    ],
    [
      'too many zoom stops',
      (f) =>
        put(
          f.facts.waveform.zoomSeconds,
          'value',
          Array.from({ length: 13 }, (_, i) => i + 1),
        ),
      'facts → waveform → zoom seconds is a list of 13; it must have at most 12 entries',
    ],
    [
      'a colour name',
      (f) => put(f.palette, 'bass', 'crimson'),
      'palette → bass is "crimson"; it must be a colour such as "#c05a2b" or "oklch(0.62 0.14 45)"',
    ],
    ['an empty name', (f) => put(f, 'name', '  '), 'name is ""; it must not be empty'],
    [
      'a long name',
      (f) => put(f, 'name', 'x'.repeat(60)),
      `name is "${'x'.repeat(40)}…"; it must have at most 40 characters`,
    ],
    ['another version', (f) => put(f, 'version', 9), 'version is 9; it must be 1'],
    [
      'another format',
      (f) => put(f, 'format', 'else'),
      'format is "else"; it must be "boothproof-deck-profile"',
    ],
    [
      'a bad id',
      (f) => put(f, 'id', 'My Deck'),
      'id is "My Deck"; it must be an id of small letters, digits and hyphens',
    ],
    [
      'not a number',
      (f) => put(f.facts.screen.rows, 'value', NaN),
      'facts → screen → rows is NaN; it must be a number',
    ],
    [
      'infinity',
      (f) => put(f, 'richness', Infinity),
      'richness is Infinity; it must be a whole number and at most 1000',
    ],
  ])('%s gets its one sentence', (_, change, sentence) => {
    const problems = problemsOf(changed(change));
    expect(problems).toEqual([`mine.json: ${sentence}.`]);
  });

  it('names every wrong thing at once', () => {
    const problems = problemsOf(
      changed((f) => {
        put(f.facts.hotCues.slots, 'value', 99);
        put(f.palette, 'grid', 7);
        put(f, 'surplus', true);
      }),
    );
    expect(problems).toHaveLength(3);
  });

  it('is not fooled by names of the prototype', () => {
    const text = shippedText('small-touch.json').replace('{', '{ "__proto__": { "a": 1 },');
    expect(problemsOf(text)).toEqual([
      'mine.json: __proto__ is not known here; remove it or check its spelling.',
    ]);
  });
});

describe('a right profile', () => {
  it('may begin with a byte-order mark and have lines of any system', () => {
    const text = `\uFEFF${shippedText('touch-strip.json').replaceAll('\n', '\r\n')}`;
    expect(readProfile(text, 'x')).toEqual({ ok: true, profile: shippedFile('touch-strip') });
  });

  it('may be given as data', () => {
    expect(readProfile(shippedFile('wide-touch'), 'x').ok).toBe(true);
  });

  it('comes back the same after writing, whatever its texts, numbers and the order of its keys', () => {
    fc.assert(
      fc.property(
        fc.record({
          name: fc.string({ unit: 'grapheme', minLength: 1, maxLength: 8 }).filter((s) => s.trim() !== ''),
          note: fc.string({ maxLength: 300 }),
          columns: fc.integer({ min: 1, max: 4096 }),
          zoom: fc.uniqueArray(fc.integer({ min: 1, max: 600 }), { minLength: 1, maxLength: 12 }),
          id: fc.constantFrom('wide-touch', 'small-touch', 'touch-strip'),
        }),
        ({ name, note, columns, zoom, id }) => {
          const file = shippedFile(id);
          file.name = name.trim();
          file.facts.screen.columns = { value: Math.max(columns, 1300), from: 'from memory', note };
          file.facts.waveform.zoomSeconds.value = zoom.sort((a, b) => a - b);
          const text = writeProfile(file);
          expect(readProfile(text, 'x')).toEqual({ ok: true, profile: file });
          const shuffled = Object.fromEntries(Object.entries(file).reverse()) as ProfileFile;
          expect(writeProfile(shuffled)).toBe(text);
        },
      ),
    );
  });
});

describe('a place in words', () => {
  it('leaves out the value of a fact and counts entries from one', () => {
    expect(placeInWords([])).toBe('the file');
    expect(placeInWords(['facts', 'hotCues', 'slots', 'value'])).toBe('facts → hot cues → slots');
    expect(placeInWords(['facts', 'waveform', 'zoomSeconds', 'value', '2'])).toBe(
      'facts → waveform → zoom seconds → entry 3',
    );
    expect(placeInWords(['palette', 'tintLow'])).toBe('palette → tint low');
  });
});

describe('a chosen file', () => {
  it('far larger than any profile is told what it is by its start, and not read whole', async () => {
    const filling = ' '.repeat(5 * MAX_PROFILE_CHARACTERS);
    const read = async (start: string, name: string) => loadProfile(new File([start, filling], name));
    const refused = (problem: unknown) => ({ ok: false, problems: [problem] });
    expect(await read(`{"format":"${BACKUP_FORMAT}","version":2}\n`, 'night.json')).toEqual(
      refused('night.json: is a backup, no deck profile: restore it under “Back up and restore”.'),
    );
    expect(await read('RIFF\0\0\0\0WAVE', 'slow.wav')).toEqual(
      refused(expect.stringMatching(/^slow\.wav: is no text, so it is no deck profile; .*\.$/)),
    );
    expect(await read('{"a": 1', 'big.json')).toEqual(
      refused(expect.stringMatching(/^big\.json: is far larger than any deck profile; .*\.$/)),
    );
  });
});
