/** What a person is told about a file that cannot carry markers. */

const quoted = (name: string) => `“${name}”`;
const ELSE = 'save the markers as a file beside it instead (JSON, CSV, WebVTT or CUE sheet)';

export const noPlace = (name: string, what: string) =>
  `${quoted(name)} is ${what}, into which markers are not written here: ${ELSE}.`;

export const damagedFile = (name: string) =>
  `${quoted(name)} is damaged or cut short, so no copy is made of it: copy it again from where it came from.`;

export const tooLarge = (name: string, what: string) =>
  `${quoted(name)} would become too large for ${what}: ${ELSE}.`;

export const oldTag = (name: string) =>
  `${quoted(name)} has a tag of version 2.2, which cannot hold chapters: convert the tag to version 2.3 in a tag editor, or ${ELSE}.`;

export const oddTag = (name: string) =>
  `The tag of ${quoted(name)} is damaged, and to write into it could lose what it says: mend it in a tag editor, or ${ELSE}.`;

/** @param what with its number: `3 chapters` */
export const replaced = (name: string, what: string) =>
  `The copy of ${quoted(name)} no longer has the ${what} that another program had put there; the original keeps them.`;
