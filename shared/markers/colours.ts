/** Colours to give to cues: eight hues of one lightness, evenly spaced (OKLCH 0.74, 0.13, from 20° in steps of 45°). */
export const CUE_COLOURS = [
  { name: 'coral', value: '#f28788' },
  { name: 'amber', value: '#e39849' },
  { name: 'olive', value: '#b0b246' },
  { name: 'fern', value: '#5ec386' },
  { name: 'lagoon', value: '#00c2ca' },
  { name: 'sky', value: '#5db2f7' },
  { name: 'iris', value: '#aa9cf7' },
  { name: 'orchid', value: '#dd8acb' },
] as const;

/** The colour's name, or its value where it is none of ours. */
export function colourName(value: string): string {
  return CUE_COLOURS.find((c) => c.value === value)?.name ?? value;
}
