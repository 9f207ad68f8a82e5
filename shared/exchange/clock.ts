/** Times of day-like text: `hh:mm:ss.ttt`. */

export const MS_PER_SECOND = 1000;

const two = (n: number) => String(n).padStart(2, '0');

/** Milliseconds as `hh:mm:ss.ttt`, more than two digits of hours where needed. */
export function clockOf(ms: number): string {
  const seconds = Math.floor(ms / 1000);
  const rest = `${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}.${String(ms % 1000).padStart(3, '0')}`;
  return `${two(Math.floor(seconds / 3600))}:${rest}`;
}

const CLOCK = /^(?:(\d{1,4}):)?(\d{1,5}):(\d{2})(?:[.,](\d{1,9}))?$/;

/** Milliseconds of `[hh:]mm:ss[.fraction]`, or null when the text is no such time. */
export function msOfClock(text: string): number | null {
  const found = CLOCK.exec(text);
  if (!found) return null;
  const [, hours, minutes, seconds, fraction] = found;
  if (Number(seconds) > 59 || (hours !== undefined && Number(minutes) > 59)) return null;
  const ms = Math.round(Number(`0.${fraction ?? '0'}`) * MS_PER_SECOND);
  return (Number(hours ?? 0) * 3600 + Number(minutes) * 60 + Number(seconds)) * MS_PER_SECOND + ms;
}

/** Seconds as a person reads them: `m:ss`. */
export function minutesOf(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  return `${Math.floor(whole / 60)}:${two(whole % 60)}`;
}
