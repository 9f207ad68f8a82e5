/** Labels of the questions about lists and files, in one place and ready to translate; sentences come from shared. */
import { plural } from '../../../shared/text.ts';

export const words = {
  on: (title: string, deck: string) => `${title}, on ${deck}.`,
  yours: { file: 'One of your files.', list: 'A list of your tracks.' },
  invented: { file: 'An invented file.', list: 'An invented list.' },
  list: 'The list as this deck shows it',
  rows: (first: number, last: number, of: number) =>
    `Rows ${first} to ${last} of ${of}, in the order of titles.`,
  perScreen: (rows: number) =>
    `The screen shows ${plural(rows, 'row')} at once; a line parts one screen from the next.`,
  fits: 'goes with it',
  row: (number: number) => `Row ${number}`,
  cut: 'On the drive',
  roles: { meant: 'this one', alike: 'looks the same there' },
  by: (artist: string) => `by ${artist}`,
} as const;
