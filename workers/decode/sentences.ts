/** What a person is told about a file that cannot be read, or not to its end: one plain sentence and the remedy. */

const quoted = (name: string) => `“${name}”`;
const COPY_AGAIN = 'copy it again from where it came from.';

/** Seconds as m:ss. */
export function clock(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

export const empty = (name: string) => `${quoted(name)} is empty (0 bytes): ${COPY_AGAIN}`;

/** @param what what the bytes look like, with its article: `a web page`, `a picture (JPEG)`; null when unknown */
export const notAudio = (name: string, what: string | null) =>
  what === null
    ? `${quoted(name)} is not an audio file that can be recognised: choose a WAV, AIFF, MP3, M4A, FLAC or Ogg file.`
    : `${quoted(name)} is not audio but ${what}: choose the track itself, or download it again.`;

export const unsupportedCodec = (name: string, codec: string) =>
  `${quoted(name)} is encoded as ${codec}, which cannot be decoded here: convert it to WAV, AIFF or FLAC and choose that file.`;

export const noAudioTrack = (name: string) =>
  `${quoted(name)} has no sound in it: choose a file with an audio track.`;

export const protectedFile = (name: string) =>
  `${quoted(name)} is copy-protected: choose a copy of the track without protection.`;

export const damaged = (name: string) =>
  `${quoted(name)} is damaged and nothing in it can be read: ${COPY_AGAIN}`;

export const oddRate = (name: string, rate: number) =>
  `${quoted(name)} says that its sample rate is ${rate} Hz, which no music has, so its header is damaged: ${COPY_AGAIN}`;

export const unreadable = (name: string) =>
  `${quoted(name)} cannot be opened: check that it is still there and that its drive is connected, then choose it again.`;

/**
 * @param read seconds that could be read
 * @param declared seconds that the file says it has, or null
 */
export const truncated = (name: string, read: number, declared: number | null) =>
  declared === null || clock(declared) === clock(read)
    ? `${quoted(name)} breaks off at ${clock(read)}, in the middle of its data: ${COPY_AGAIN}`
    : `${quoted(name)} is cut short, ${clock(read)} of ${clock(declared)} could be read: ${COPY_AGAIN}`;

export const damagedInside = (name: string, read: number, declared: number | null) =>
  `${quoted(name)} is damaged in places, ${clock(read)}${declared === null ? '' : ` of ${clock(declared)}`} could be read: ${COPY_AGAIN}`;
