/** What the page and the player in the audio thread agree on. */
import type { SoundOrder } from '../../workers/sound/mixer.ts';

/** Name under which the worklet registers itself. */
export const PLAYER = 'rehearsal-player';
/** Stereo to the room, stereo to the headphones. */
export const PLAYER_OUTPUTS = { numberOfInputs: 0, numberOfOutputs: 2, outputChannelCount: [2, 2] };

export interface PlayerOptions {
  /** Taken before the first frame. */
  orders: SoundOrder[];
}

/** Frame that was rendered next when the order `id` came. */
export interface PlayerReport {
  id: number;
  frame: number;
}
