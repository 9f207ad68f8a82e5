/**
 * Comma-separated values, RFC 4180 (https://www.rfc-editor.org/rfc/rfc4180), UTF-8, one line for each marker with
 * all of its fields; exact. Read too: columns in any order, of which only `time` must be there; semicolons with
 * decimal commas, as spreadsheets of many countries write them; times as clock times.
 */
import type { TextFormat } from '../types.ts';
import { read } from './read.ts';
import { write } from './write.ts';

export const csv: TextFormat = {
  id: 'csv',
  name: 'Table (CSV)',
  extension: 'csv',
  mediaType: 'text/csv',
  resolution: 0,
  write,
  read,
  unseen: () => [],
};
