import * as v from 'valibot';
import { MAX_NAME_LENGTH, MAX_SLOT, MarkerSchema, type Marker } from '../../markers/marker.ts';
import { msOfClock } from '../clock.ts';
import { fitName } from '../names.ts';
import { settled } from '../points.ts';
import { ExchangeFault, faultAtLine, type ExchangeContext, type ReadMarkers } from '../types.ts';
import { COLUMNS, unguarded, type Column } from './columns.ts';
import { rowsOf, type Row } from './rows.ts';

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;
const PLAIN_IMPORTANCE = 2;

/** @throws ExchangeFault with the line and what would be right there */
export function read(text: string, context: ExchangeContext): ReadMarkers {
  const whole = text.replace(/^\ufeff/, '');
  const head = whole.split(/[\r\n]/, 1)[0];
  const separator = ['\t', ';'].find((s) => head.includes(s) && !head.includes(',')) ?? ',';
  const rows = rowsOf(whole, separator);
  if (!Array.isArray(rows)) throw faultAtLine(context, rows.line, `${rows.sentence}.`);
  if (rows.length === 0) {
    throw new ExchangeFault(
      `${context.fileName} is empty: choose a table with a heading and one line for each marker.`,
    );
  }
  const places = placesOf(rows[0], context);
  const notes: string[] = [];
  const unknown = rows[0].fields.filter((f) => !COLUMNS.some((c) => c === f.trim().toLowerCase()));
  if (unknown.length > 0) {
    notes.push(
      `${context.fileName}: not known here and left out: ${unknown.map((f) => `“${f.slice(0, 30)}”`).join(', ')}.`,
    );
  }
  let cut = 0;
  const markers = rows.slice(1).map((row, i) => {
    if (row.fields.length !== rows[0].fields.length) {
      throw faultAtLine(
        context,
        row.line,
        `this line has ${row.fields.length} fields and the heading has ${rows[0].fields.length}; give it as many.`,
      );
    }
    const record = new Reading(row, places, separator, context, i);
    if (record.nameIsLong) cut++;
    return record.marker();
  });
  if (cut > 0)
    notes.push(`${context.fileName}: ${cut} names longer than ${MAX_NAME_LENGTH} characters were cut short.`);
  return settled(markers, notes, context);
}

function placesOf(row: Row, context: ExchangeContext): Map<Column, number> {
  const places = new Map<Column, number>();
  row.fields.forEach((field, i) => {
    const column = COLUMNS.find((c) => c === field.trim().toLowerCase());
    if (!column) return;
    if (places.has(column)) {
      throw faultAtLine(context, row.line, `the column “${column}” is there twice; delete or rename one.`);
    }
    places.set(column, i);
  });
  if (!places.has('time')) {
    throw faultAtLine(
      context,
      row.line,
      `the heading has no column “time”; the columns are ${COLUMNS.join(', ')}, of which only “time” must be there.`,
    );
  }
  return places;
}

/** One line of the table. */
class Reading {
  constructor(
    private readonly row: Row,
    private readonly places: ReadonlyMap<Column, number>,
    private readonly separator: string,
    private readonly context: ExchangeContext,
    private readonly index: number,
  ) {}

  private field(column: Column): string {
    const place = this.places.get(column);
    return place === undefined ? '' : this.row.fields[place];
  }

  private fault(column: Column, remedy: string): ExchangeFault {
    const found = this.field(column).slice(0, 40);
    return faultAtLine(this.context, this.row.line, `${column} is “${found}”; ${remedy}.`);
  }

  /** A number, or null where the field is empty. */
  private number(column: Column, remedy: string): number | null {
    let text = this.field(column).trim();
    if (text === '') return null;
    if (this.separator !== ',') text = text.replace(',', '.');
    if (!NUMBER.test(text)) throw this.fault(column, remedy);
    return Number(text);
  }

  private time(column: 'time' | 'end'): number | null {
    const remedy = 'it must be seconds such as 83.25, or a clock time such as 1:23.250';
    const text = this.field(column).trim();
    if (!text.includes(':')) return this.number(column, remedy);
    const ms = msOfClock(text);
    if (ms === null) throw this.fault(column, remedy);
    return ms / 1000;
  }

  get nameIsLong(): boolean {
    return unguarded(this.field('name')).length > MAX_NAME_LENGTH;
  }

  marker(): Marker {
    const kind = this.field('kind').trim().toLowerCase() || 'mark';
    const time = this.time('time');
    if (time === null || time < 0) throw this.fault('time', 'it must be given, in seconds from the start');
    const common = {
      id: unguarded(this.field('id')) || `read-${this.index + 1}`,
      time,
      name: fitName(unguarded(this.field('name'))),
      importance: this.number('importance', 'it must be 1, 2 or 3') ?? PLAIN_IMPORTANCE,
    };
    let marker: unknown;
    if (kind === 'cue') {
      marker = {
        kind,
        ...common,
        slot: this.number('slot', `it must be empty or a whole number from 1 to ${MAX_SLOT}`),
        colour: this.field('colour').trim().toLowerCase() || null,
      };
    } else if (kind === 'loop') {
      const endTime = this.time('end');
      if (endTime === null || endTime <= time) throw this.fault('end', 'a loop must end after its time');
      const beats = this.number('beats', 'it must be empty or a number of beats up to 4096');
      marker = { kind, ...common, endTime, beats };
    } else if (kind === 'mark') marker = { kind, ...common };
    else throw this.fault('kind', 'it must be cue, mark or loop');
    return this.checked(marker);
  }

  private checked(marker: unknown): Marker {
    const read = v.safeParse(MarkerSchema, marker);
    if (read.success) return read.output;
    const key = String(read.issues[0].path?.[0]?.key ?? 'time');
    const remedies: Partial<Record<Column, string>> = {
      importance: 'it must be 1, 2 or 3',
      slot: `it must be empty or a whole number from 1 to ${MAX_SLOT}`,
      colour: 'it must be empty or a colour such as #c05a2b',
      beats: 'it must be empty or a number of beats up to 4096',
      id: 'it must have at most 60 characters',
      time: 'it must be seconds such as 83.25',
      end: 'it must be seconds such as 83.25',
    };
    const column = (key === 'endTime' ? 'end' : key) as Column;
    throw this.fault(column, remedies[column] ?? 'it does not fit');
  }
}
