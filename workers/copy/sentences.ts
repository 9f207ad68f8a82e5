/** What a person is told about a copy. */
import { list } from '../../shared/text.ts';

const quoted = (name: string) => `“${name}”`;
const db = (value: number) => `${value.toFixed(1).replace('-', '−')}`;

export const tooLong = (name: string, container: 'wav' | 'aiff') =>
  `${quoted(name)} is too long for one ${container === 'wav' ? 'WAV file (4 GB)' : 'AIFF file (2 GB)'}: choose 16 bits, or split the recording.`;

export const oddRate = (name: string, rate: number) =>
  `${quoted(name)} has a sample rate of ${rate} Hz, from which no copy is made here: convert it to 44.1 or 48 kHz with a sound editor first.`;

export const changedMeanwhile = (name: string) =>
  `${quoted(name)} changed while it was copied, so the copy was thrown away: wait until nothing else writes to the file and copy it again.`;

export const noCommonContainer = (names: readonly string[]) =>
  `No file suits every deck: ${names.join(', ')} ${names.length === 1 ? 'reads' : 'read'} neither WAV nor AIFF. Correct the profile, or leave that deck out.`;

export const noCommonRate = (name: string) =>
  `${quoted(name)} plays no file of 44.1 kHz, so no copy can suit it. Correct the profile’s highest sample rate, or leave that deck out.`;

export const noCommonDepth = (name: string) =>
  `${quoted(name)} plays no file of 16 bits, so no copy can suit it. Correct the profile’s highest bit depth, or leave that deck out.`;

export const turnedDown = (gainDb: number, ceilingDb: number) =>
  `Turned down by ${db(-gainDb)} dB, so that no peak between the samples is above ${db(ceilingDb)} dBTP.`;

export const hotButKept = (truePeakDb: number) =>
  `Peaks between the samples reach ${db(truePeakDb)} dBTP. The samples are the original’s, so the level is as it was.`;

export const clippedSamples = (count: number) =>
  `${count} ${count === 1 ? 'sample was' : 'samples were'} cut off at full scale, because the level was to be kept: choose to turn it down, or keep the original.`;

export const frontOnly = (channels: number) =>
  `The original has ${channels} channels; the copy has the first two.`;

export const lossyBefore = () => 'The original is lossy; the copy sounds the same as it does, not better.';

export const partly = (sentence: string) => `Only what could be read is in the copy. ${sentence}`;

export const coverLeftOut = () =>
  'The cover is not in the copy: it is so large that it would slow down loading.';

export const tagsLeftOut = (names: readonly string[]) => `Not in the copy: ${list(names)}.`;

export const markersLeftOut = (why: string) => `The markers are not in the copy. ${why}`;
