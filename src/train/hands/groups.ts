/** Parts of the task, in the order in which they are shown. */
export const GROUPS = [
  'drive',
  'cues',
  'loops',
  'quantise',
  'list',
  'booth',
  'rows',
  'heard',
  'letters',
] as const;
export type Group = (typeof GROUPS)[number];
