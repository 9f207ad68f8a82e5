/** Keys and chords as pitch numbers. */

export type Mode = 'major' | 'minor';

const TONICS = ['C', 'D♭', 'D', 'E♭', 'E', 'F', 'F♯', 'G', 'A♭', 'A', 'B♭', 'B'];
const SCALES: Record<Mode, number[]> = {
  major: [0, 2, 4, 5, 7, 9, 11],
  minor: [0, 2, 3, 5, 7, 8, 10],
};

export interface Key {
  /** For instance `E♭` */
  tonic: string;
  mode: Mode;
}

/** A plain name such as `E♭ major`. */
export function keyName(key: Key): string {
  return `${key.tonic} ${key.mode}`;
}

/** The key whose tonic has pitch class 0..11. */
export function keyAt(pitchClass: number, mode: Mode): Key {
  return { tonic: TONICS[((pitchClass % 12) + 12) % 12], mode };
}

/** MIDI number of scale step `step` (0 = tonic; any integer) in the octave from MIDI number `floor` on. */
export function stepNote(key: Key, step: number, floor: number): number {
  const tonic = TONICS.indexOf(key.tonic);
  if (tonic < 0) throw new RangeError(`${key.tonic} is not a tonic that the demo knows.`);
  const scale = SCALES[key.mode];
  const octave = Math.floor(step / scale.length);
  const base = floor + ((((tonic - floor) % 12) + 12) % 12);
  return base + 12 * octave + scale[step - octave * scale.length];
}

/**
 * Notes of the chord on scale step `root` in thirds, each brought into one octave from `floor` on, so that
 * neighbouring chords move little.
 */
export function chordNotes(key: Key, root: number, size: number, floor: number): number[] {
  const notes = Array.from({ length: size }, (_, i) => {
    const note = stepNote(key, root + 2 * i, floor);
    return floor + ((((note - floor) % 12) + 12) % 12);
  });
  return [...new Set(notes)].sort((a, b) => a - b);
}
