/**
 * Boundary F-measure as in the MIREX structural segmentation task: each true boundary is matched by at most one
 * found one within the window; start and end of the track do not count. Windows there: ±0.5 s and ±3 s.
 */
export function boundaryF(found: readonly number[], truth: readonly number[], window: number): number {
  if (!found.length && !truth.length) return 1;
  const free = [...truth].sort((a, b) => a - b);
  let hits = 0;
  // Both lists ascending and one window for all: taking the earliest free match is the largest matching.
  for (const time of [...found].sort((a, b) => a - b)) {
    const match = free.findIndex((t) => Math.abs(t - time) <= window);
    if (match < 0) continue;
    hits++;
    free.splice(match, 1);
  }
  return (2 * hits) / (found.length + truth.length);
}
