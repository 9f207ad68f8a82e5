/** `2:05`, `2:05.5`, `125` or `1:02:05` in seconds; null for anything else. */
export function readClock(text: string): number | null {
  const match = /^\s*(?:(?:(\d{1,2}):)?(\d{1,3}):)?(\d{1,3}(?:[.,]\d+)?)\s*$/.exec(text);
  if (!match) return null;
  const [, hours = '0', minutes, seconds] = match;
  const s = Number(seconds.replace(',', '.'));
  if (minutes !== undefined && s >= 60) return null;
  return Number(hours) * 3600 + Number(minutes ?? 0) * 60 + s;
}
