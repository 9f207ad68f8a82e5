/** Answers as comma-separated text, RFC 4180: CRLF, a header, quotes where needed. */
import type { AnswerRecord } from './types.ts';

type Field = string | number | boolean | null;

const COLUMNS: readonly [name: string, field: (record: AnswerRecord) => Field][] = [
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

/** A text that a spreadsheet would take for a formula gets an apostrophe before it; numbers stay. */
const guarded = (text: string): string => (/^[=+\-@\t\r]/.test(text) ? `'${text}` : text);
const quoted = (text: string): string => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

function written(field: Field): string {
  if (field === null) return '';
  return quoted(typeof field === 'string' ? guarded(field) : String(field));
}

/** One line per answer, in the given order. Times are UTC, in ISO 8601. */
export function answersCsv(records: readonly AnswerRecord[]): string {
  const rows = records.map((record) => COLUMNS.map(([, field]) => written(field(record))));
  return [COLUMNS.map(([name]) => name), ...rows].map((row) => `${row.join(',')}\r\n`).join('');
}
