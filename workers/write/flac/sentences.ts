/** What a person is told about the cue sheet block of a FLAC file. */

const count = (n: number, one: string, many: string) => `${n} ${n === 1 ? one : many}`;

export const oddSheet = (name: string) =>
  `${name}: the cue sheet block is damaged and was left out; the rest was read.`;

export const furtherInSheet = (name: string, places: number) =>
  `${name}: its cue sheet block, which another program wrote, has ${count(places, 'further place', 'further places')} ` +
  'that Boothproof’s own chapters do not have; they are no markers here. To have them, read the markers of the file ' +
  'that the copy was made of.';

export const keptSheet = (name: string) =>
  `“${name}” has a cue sheet block of its own, which the copy keeps; some programs show that instead of the markers.`;

export const sheetGaveWay = (name: string) =>
  `The copy of “${name}” no longer has the cue sheet block that another program had put there; the original keeps it.`;

export const notInSheet = (name: string, left: number, most: number) =>
  `The cue sheet block of “${name}” has room for ${most} places within the audio, so ${count(left, 'marker stands', 'markers stand')} ` +
  'only in the chapters.';
