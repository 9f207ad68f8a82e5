/** Any markers into any text format and back; files that another program has changed. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { TEXT_FORMATS, formatOf, readMarkersText } from '../../shared/exchange/formats.ts';
import { cueSheet } from '../../shared/exchange/cue-sheet/index.ts';
import { markersJson } from '../../shared/exchange/json/index.ts';
import { ExchangeFault, type TextFormat } from '../../shared/exchange/types.ts';
import { webvtt } from '../../shared/exchange/webvtt/index.ts';
import { inOrder, type Marker } from '../../shared/markers/marker.ts';
import { shippedText } from '../profiles/files.ts';
import { EXAMPLE, anyMarkers, apart } from './arbitrary.ts';

const context = {
  fileName: 'Slow Ferry.x',
  duration: 301.5,
  title: 'Slow "Ferry" --> home',
  artist: 'Marl Quay',
  audioName: 'Slow Ferry.wav',
};
const bytesOf = (text: string) => new TextEncoder().encode(text);

describe.each(TEXT_FORMATS.map((f) => [f.name, f] as [string, TextFormat]))('%s', (_name, format) => {
  it('gives any markers back equal, and writes the same bytes again', () => {
    fc.assert(
      fc.property(anyMarkers(), (markers) => {
        const text = format.write(markers, context);
        const back = readMarkersText(bytesOf(text), context);
        expect(back.format).toBe(format);
        const { rest, by } = apart(markers, back.markers);
        expect(rest[1]).toEqual(rest[0]);
        expect(by).toBeLessThanOrEqual(format.resolution);
        expect(back.markers).toEqual(inOrder(markers));
        expect(format.write(back.markers, context)).toBe(text);
      }),
      { numRuns: 300 },
    );
  });

  it('takes as many markers as a track can have', () => {
    const many: Marker[] = Array.from({ length: 500 }, (_, i) => ({
      kind: 'mark',
      id: `m${i}`,
      time: i * 0.6,
      name: `Mark ${i}`,
      importance: (1 + (i % 3)) as 1 | 2 | 3,
    }));
    expect(format.read(format.write(many, context), context).markers).toEqual(many);
  });

  it('is known by what it says, whatever its ending', () => {
    expect(formatOf(format.write(EXAMPLE, context), 'x.txt')).toBe(format);
    expect(formatOf('', `x.${format.extension}`)).toBe(format);
  });

  it('reads lines of any system and a byte-order mark', () => {
    const text = `\ufeff${format.write(EXAMPLE, context).replaceAll(/\r?\n/g, '\r\n')}`;
    expect(readMarkersText(bytesOf(text), context).markers).toEqual(EXAMPLE);
  });

  it('refuses to write what it could not read back', () => {
    const late = { ...EXAMPLE[1], time: 90_000 };
    expect(() => format.write([late], context)).toThrow(ExchangeFault);
    expect(() => format.write([late], context)).toThrow(/^Slow Ferry\.x is not written: .*more than a day/);
    expect(() => format.write([EXAMPLE[0], EXAMPLE[0]], context)).toThrow(/Two markers have the id/);
    expect(() => format.write([{ ...EXAMPLE[1], time: NaN }], context)).toThrow(ExchangeFault);
  });

  it('never gives half of an import: any text is read whole or refused with one sentence', () => {
    const whole = format.write(EXAMPLE, context);
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ unit: 'binary' }),
          fc
            .record({ at: fc.nat(whole.length), put: fc.string({ maxLength: 4 }), drop: fc.nat(6) })
            .map(({ at, put, drop }) => whole.slice(0, at) + put + whole.slice(at + drop)),
        ),
        (text) => {
          try {
            const { markers } = format.read(text, context);
            expect(format.read(format.write(markers, context), context).markers).toEqual(markers);
          } catch (error) {
            expect(error).toBeInstanceOf(ExchangeFault);
            expect((error as Error).message).toMatch(/^Slow Ferry\.x[^\n]*[.]$/s);
          }
        },
      ),
      { numRuns: 500 },
    );
  });
});

describe('a file that another program changed', () => {
  it('WebVTT: a moved cue and a new title win, everything else stays', () => {
    const text = webvtt
      .write(EXAMPLE, context)
      .replace('00:01:01.250 --> ', '00:01:02.000 --> ')
      .replace('\nFirst beat\n', '\nOpening\n')
      .replace('00:03:03.063 --> ', '00:03:04.000 --> ');
    const [a, b, c, d] = webvtt.read(text, context).markers;
    expect(a).toEqual({ ...EXAMPLE[0], name: 'Opening' });
    expect(b).toEqual({ ...EXAMPLE[1], time: 62 });
    expect(c).toEqual({ ...EXAMPLE[2], time: 184, endTime: 191.5 });
    expect(d).toEqual(EXAMPLE[3]);
  });

  it('CUE sheet: the same', () => {
    const text = cueSheet
      .write(EXAMPLE, context)
      .replace('TITLE "Drop"', 'TITLE "The drop"')
      .replace(/INDEX 01 01:01:\d\d/, 'INDEX 01 01:02:00');
    expect(cueSheet.read(text, context).markers).toEqual(
      EXAMPLE.map((m) => (m.id === 'b' ? { ...m, name: 'The drop', time: 62 } : m)),
    );
  });

  it('a damaged remark makes a structure mark, and is told', () => {
    const text = webvtt.write(EXAMPLE, context).replace('"importance":3', '"importance":9');
    const { markers, notes } = webvtt.read(text, context);
    expect(markers[0]).toEqual({
      kind: 'mark',
      id: 'read-1',
      time: 0.512,
      name: 'First beat',
      importance: 2,
    });
    expect(notes).toEqual([
      'Slow Ferry.x: what Boothproof had noted beside 1 marker could not be read any more; it is taken as a structure mark.',
    ]);
  });

  it('a slot or an id that is there twice is mended and told', () => {
    const text = webvtt.write(EXAMPLE, context);
    const cue = text.split('\n\n')[1];
    const { markers, notes } = webvtt.read(`${text}\n${cue}\n`, context);
    expect(markers.map((m) => [m.id, m.kind === 'cue' ? m.slot : null])).toEqual([
      ['a', 1],
      ['a-2', null],
      ['b', null],
      ['c', null],
      ['d', null],
    ]);
    expect(notes[0]).toContain('1 cue had a slot that an earlier cue has too');
  });
});

describe('what a format says it keeps from other programs', () => {
  it('loops’ ends, markers at one place, and more than 99 tracks', () => {
    expect(markersJson.unseen(EXAMPLE, context)).toEqual([]);
    expect(webvtt.unseen(EXAMPLE, context)[0]).toContain('where a loop starts');
    const many: Marker[] = Array.from({ length: 120 }, (_, i) => ({
      kind: 'mark',
      id: `m${i}`,
      time: 1 + i,
      name: '',
      importance: i < 60 ? 3 : 1,
    }));
    const [hidden] = cueSheet.unseen(many, context);
    expect(hidden).toContain('does not see 22 of the less important');
    const text = cueSheet.write(many, context);
    expect(text.match(/TRACK/g)).toHaveLength(99);
    // The most important ones keep their tracks: mark 60 s is the last of them.
    expect(text).toContain('INDEX 01 01:00:00');
    const twins = [EXAMPLE[1], { ...EXAMPLE[1], id: 'twin' }];
    expect(cueSheet.unseen(twins, context)).toEqual([
      'Of markers at the same place another program sees only the first (1 more).',
    ]);
  });
});

it('a file of ours that holds no markers is told where it belongs', () => {
  const named = { ...context, fileName: 'night.json' };
  const faultOf = (text: string) => () => readMarkersText(bytesOf(text), named);
  expect(faultOf(`{"format":"boothproof-backup","version":2,"writtenAt":1}\n{"end":true}\n`)).toThrow(
    new ExchangeFault('night.json is a backup, no file of markers: restore it under “Back up and restore”.'),
  );
  expect(faultOf(shippedText('small-touch.json'))).toThrow(
    new ExchangeFault('night.json is a deck profile, no file of markers: load it in Decks.'),
  );
});
