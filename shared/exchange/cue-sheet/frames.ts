/** Times of a cue sheet: mm:ss:ff. */

export const FRAMES_PER_SECOND = 75;

const two = (n: number) => String(n).padStart(2, '0');

/** Frames as `mm:ss:ff`; minutes have more than two digits where needed. */
export function frameText(frames: number): string {
  const seconds = Math.floor(frames / FRAMES_PER_SECOND);
  return `${two(Math.floor(seconds / 60))}:${two(seconds % 60)}:${two(frames % FRAMES_PER_SECOND)}`;
}

/** Frames of `mm:ss:ff`, or null when the text is no such time. */
export function framesOf(text: string): number | null {
  const found = /^(\d{1,4}):(\d{1,2}):(\d{1,2})$/.exec(text);
  if (!found) return null;
  const [minutes, seconds, frames] = found.slice(1).map(Number);
  if (seconds > 59 || frames >= FRAMES_PER_SECOND) return null;
  return (minutes * 60 + seconds) * FRAMES_PER_SECOND + frames;
}
