/** The columns of the table, and how a spreadsheet is kept from taking a name for a formula. */

export const COLUMNS = [
  'kind',
  'time',
  'end',
  'name',
  'slot',
  'colour',
  'importance',
  'beats',
  'id',
] as const;
export type Column = (typeof COLUMNS)[number];

/**
 * A text that begins with one of these is a formula to a spreadsheet, which may run it. Such a text, and one that
 * has apostrophes before it, gets one more apostrophe in front, so that reading can take away exactly that one.
 */
const FORMULA = /^'*[=+\-@\t\r]/;
const GUARDED = /^'+[=+\-@\t\r]/;

export const guarded = (text: string): string => (FORMULA.test(text) ? `'${text}` : text);
export const unguarded = (text: string): string => (GUARDED.test(text) ? text.slice(1) : text);
