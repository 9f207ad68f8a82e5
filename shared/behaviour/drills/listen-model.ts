/** Listening before a track is on air: two decks, the headphones, and the list that may be heard from. */
import type { DeckProfile } from '../../profile/schema.ts';
import { type ListState, listed } from './list-model.ts';

/** Two decks: one is on air, the fader of the other one is down. */
export type ListenPress =
  /** Touches a row of the list to hear its track from there. */
  | { kind: 'row-preview'; row: number }
  | { kind: 'load-to'; deck: BoothDeck }
  | { kind: 'headphones'; deck: BoothDeck }
  /** Lets the deck play that is not on air. */
  | { kind: 'play-off-air' };
export type BoothDeck = 'on-air' | 'off-air';

export interface ListenBooth {
  onAir: string;
  offAir: string | null;
  offAirPlays: boolean;
  headphones: BoothDeck;
  /** Track that is heard from the list, or null. */
  fromList: string | null;
}

export interface ListenState {
  list: ListState;
  booth: ListenBooth;
  /** s */
  now: number;
}

export const hasListenPress = ({ kind }: ListenPress, { list }: DeckProfile): boolean =>
  kind !== 'row-preview' || list.preview === 'touch';

/** The list and the booth after a press; the same state where the deck has no such control or there is nothing to do. */
export function reduceListen(
  state: ListenState,
  press: ListenPress,
  titles: readonly string[],
  profile: DeckProfile,
): ListenState {
  if (!hasListenPress(press, profile)) return state;
  const { list, booth } = state;
  const rows = listed(titles, list);
  const chosen = rows[list.cursor];
  const to = (changes: Partial<ListenBooth>): ListenState => ({ ...state, booth: { ...booth, ...changes } });
  switch (press.kind) {
    case 'row-preview':
      return press.row < profile.list.rows ? to({ fromList: rows[list.top + press.row] ?? null }) : state;
    case 'load-to':
      return press.deck === 'on-air' ? to({ onAir: chosen }) : to({ offAir: chosen, offAirPlays: false });
    case 'headphones':
      return to({ headphones: press.deck });
    case 'play-off-air':
      return booth.offAir === null ? state : to({ offAirPlays: true });
  }
}
