/** Answers and rounds as comma-separated text, RFC 4180: CRLF, a header, quotes where needed. */
import type { AnswerRecord, HandRecord } from './types.ts';

type Field = string | number | boolean | null;
type Columns<R> = readonly [name: string, field: (record: R) => Field][];

const ANSWERS: Columns<AnswerRecord> = [
  ['time', ({ at }) => new Date(at).toISOString()],
  ['deck', ({ deckId }) => deckId],
  ['shown_on', ({ shownDeckId }) => shownDeckId],
  ['baseline', ({ baseline }) => baseline],
  ['drill', ({ drill }) => drill],
  ['section', ({ section }) => section],
  ['track', ({ trackId }) => trackId],
  ['error_bars', ({ errorBars }) => errorBars],
  ['error_ms', ({ errorMs }) => errorMs],
  ['correct', ({ correct }) => correct],
  ['hit', ({ hit }) => hit],
  ['chance', ({ chance }) => chance],
  ['response_seconds', ({ responseSeconds }) => responseSeconds],
  ['confidence', ({ confidence }) => confidence],
  ['grade', ({ grade }) => grade],
];

const HANDS: Columns<HandRecord> = [
  ['time', ({ at }) => new Date(at).toISOString()],
  ['deck', ({ deckId }) => deckId],
  ['drill', ({ drill }) => drill],
  ['goal_reached', ({ done }) => done],
  ['ended', ({ ended }) => ended],
  ['presses', ({ presses }) => presses],
  ['fewest_presses', ({ fewest }) => fewest],
  ['seconds', ({ seconds }) => seconds],
  ['least_seconds', ({ leastSeconds }) => leastSeconds],
  ['error_ms', ({ errorMs }) => errorMs],
  ['best_error_ms', ({ bestErrorMs }) => bestErrorMs],
  ['grade', ({ grade }) => grade],
];

/** A text that a spreadsheet would take for a formula gets an apostrophe before it; numbers stay. */
const guarded = (text: string): string => (/^[=+\-@\t\r]/.test(text) ? `'${text}` : text);
const quoted = (text: string): string => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

function written(field: Field): string {
  if (field === null) return '';
  return quoted(typeof field === 'string' ? guarded(field) : String(field));
}

function csv<R>(columns: Columns<R>, records: readonly R[]): string {
  const rows = records.map((record) => columns.map(([, field]) => written(field(record))));
  return [columns.map(([name]) => name), ...rows].map((row) => `${row.join(',')}\r\n`).join('');
}

/** One line per answer, in the given order. Times are UTC, in ISO 8601. */
export const answersCsv = (records: readonly AnswerRecord[]): string => csv(ANSWERS, records);

/** The same for rounds of hand drills. */
export const handsCsv = (records: readonly HandRecord[]): string => csv(HANDS, records);
