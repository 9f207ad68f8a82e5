/**
 * Weights of the channels in the loudness sum (ITU-R BS.1770-4, table 3 and Annex 3: 1.41 for loudspeakers
 * between 60 and 120 degrees to the side, 0 for low-frequency effects, 1 for all others).
 * Channel order: that of the WAVE_FORMAT_EXTENSIBLE channel mask, which FLAC and the decoders keep.
 */
const SIDE = 1.41;
const BY_COUNT: readonly (readonly number[])[] = [
  [],
  [1],
  [1, 1],
  [1, 1, 1],
  [1, 1, SIDE, SIDE],
  [1, 1, 1, SIDE, SIDE],
  [1, 1, 1, 0, SIDE, SIDE],
  [1, 1, 1, 0, 1, SIDE, SIDE],
  [1, 1, 1, 0, 1, 1, SIDE, SIDE],
];

/** One weight per channel; more than eight channels have no layout we know, so all count alike. */
export function channelWeights(channels: number): readonly number[] {
  return BY_COUNT[channels] ?? new Array<number>(channels).fill(1);
}
