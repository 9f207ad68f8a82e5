/** The words of the legend "what you are no longer seeing", in one place and ready to translate. */

/** One loss each, to stand in the middle of a sentence; `{name}` is filled in. */
export const lostWords = {
  noScrolling: 'no scrolling waveform',
  noGrid: 'no grid',
  noBars: 'beats but no bars',
  gridAtEdge: 'grid only as edge marks',
  oneHue: 'one hue in place of three bands',
  noHue: 'no hue, the treble only as lightness',
  noColour: 'no colour for bass or treble',
  phaseTicks: 'phase as bar and beat ticks',
  phaseBlocks: 'phase as four blocks',
  noPhase: 'no sight of the other deck’s beat',
  noMarks: 'no stored marks',
  fewerMarks: 'at most {marks} stored marks',
  fewerCues: '{slots} hot cues of {of}',
  cuesOneColour: 'hot cues in one colour',
  nothingCloser: 'nothing closer than {seconds} s',
  nothingWider: 'nothing wider than {seconds} s',
  fewerHeights: '{steps} heights of {of}',
  overviewColumns: 'overview of {columns} columns, {seconds} s each',
} as const;

const NOTHING_LOST = 'Nothing is lost here against the richest deck on the ladder.';

/** Puts the losses (already in words), the number of those left out and the overview's coarseness in a line. */
export function lostLine(losses: readonly string[], more: number, measure: string | null): string {
  if (!losses.length && !measure) return NOTHING_LOST;
  const named = losses.join(', ') + (more ? `, and ${more} more` : '');
  const line = [named, measure].filter(Boolean).join('; ');
  return `${line.charAt(0).toUpperCase()}${line.slice(1)}.`;
}
