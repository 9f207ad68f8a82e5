/** Names of the 24 keys, and which of them go together. */

/** Tonics as they are usually spelt (the spelling with fewer accidentals in the key signature). */
export const MAJOR_TONICS = ['C', 'D♭', 'D', 'E♭', 'E', 'F', 'F♯', 'G', 'A♭', 'A', 'B♭', 'B'];
export const MINOR_TONICS = ['C', 'C♯', 'D', 'E♭', 'E', 'F', 'F♯', 'G', 'G♯', 'A', 'B♭', 'B'];

const FIFTH = 7;
const SEMITONES = 12;
/** Semitones from a minor key up to its relative major key, whose scale it shares. */
const RELATIVE = 3;

/** As the analysis names them: `C major` … `B major`, `C minor` … `B minor`. */
export const KEY_NAMES: readonly string[] = [
  ...MAJOR_TONICS.map((tonic) => `${tonic} major`),
  ...MINOR_TONICS.map((tonic) => `${tonic} minor`),
];

/**
 * The keys that a track in this one goes with: itself, its relative, and those a fifth above and below, which share
 * all of its notes but one. Common practice, no source.
 * @returns empty for a name that is none of ours
 */
export function keysThatFit(key: string): string[] {
  const at = KEY_NAMES.indexOf(key);
  if (at < 0) return [];
  const minor = at >= SEMITONES;
  const named = (semitone: number, inMinor: boolean) =>
    KEY_NAMES[(((semitone % SEMITONES) + SEMITONES) % SEMITONES) + (inMinor ? SEMITONES : 0)];
  const tonic = at % SEMITONES;
  return [
    key,
    named(tonic + (minor ? RELATIVE : -RELATIVE), !minor),
    named(tonic + FIFTH, minor),
    named(tonic - FIFTH, minor),
  ];
}
