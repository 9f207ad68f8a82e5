/** Whether and how loudly a hand drill clicks, and how that is changed. */
export interface ClickChoice {
  on: boolean;
  /** Level of the click against the volume, linear, 0..1. */
  level: number;
  /** Volume of the player, linear, 0..1. */
  volume: number;
  onon: (on: boolean) => void;
  onlevel: (level: number) => void;
}
