/** Whether and how loudly a hand drill clicks, and how that is changed. */
export interface ClickChoice {
  on: boolean;
  /** Level of the click against the volume, linear, 0..1. */
  level: number;
  /** Volume of the player, linear, 0..1. */
  volume: number;
  /** How late the person's taps come by ear and by eye, s; null: not measured. */
  tapOffset: { ear: number | null; eye: number | null };
  onon: (on: boolean) => void;
  onlevel: (level: number) => void;
}

/** What is taken off every press of a drill, ms: the person's own measure, by ear where it clicks, else by eye. */
export function pressOffset({ on, tapOffset }: Pick<ClickChoice, 'on' | 'tapOffset'>): number {
  return 1000 * ((on ? tapOffset.ear : tapOffset.eye) ?? 0);
}
