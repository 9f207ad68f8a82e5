/** The list of tracks as hands meet it: rows that fit the screen, a knob, and what else the deck has for finding. */
import type { DeckProfile } from '../../profile/schema.ts';

export type ListPress =
  /** One step of the knob. */
  | { kind: 'knob'; by: 1 | -1 }
  /** Letter on the letter strip: to the first title from that letter on. */
  | { kind: 'letter'; letter: string }
  | { kind: 'search-open' }
  | { kind: 'type'; letter: string }
  /** Touches a row of the screen, from 0: the cursor goes there. */
  | { kind: 'row-touch'; row: number }
  | { kind: 'list-load' };

export interface ListState {
  /** Index among the rows that are listed. */
  cursor: number;
  /** Index of the row at the top of the screen. */
  top: number;
  /** Letters typed so far; null: the search is closed. */
  query: string | null;
  /** Title that was loaded, or null. */
  loaded: string | null;
}

export const firstOfList: ListState = { cursor: 0, top: 0, query: null, loaded: null };

export function hasListPress({ kind }: ListPress, { list, screen }: DeckProfile): boolean {
  switch (kind) {
    case 'letter':
      return list.letterStrip;
    case 'search-open':
    case 'type':
      return list.textSearch;
    case 'row-touch':
      return screen.touch;
    default:
      return true;
  }
}

/** Titles that are listed: those that begin with what was typed. @param titles in order of the alphabet */
export function listed(titles: readonly string[], { query }: ListState): readonly string[] {
  return query ? titles.filter((title) => title.toUpperCase().startsWith(query)) : titles;
}

/** The list after a press; the same state where the deck has no such control or there is nothing to do. */
export function reduceList(
  state: ListState,
  press: ListPress,
  titles: readonly string[],
  profile: DeckProfile,
): ListState {
  if (!hasListPress(press, profile) || state.loaded !== null) return state;
  const rows = listed(titles, state);
  const to = (cursor: number): ListState => scrolled({ ...state, cursor }, rows.length, profile.list.rows);
  switch (press.kind) {
    case 'knob':
      return to(state.cursor + press.by);
    case 'letter': {
      const first = rows.findIndex((title) => title[0].toUpperCase() >= press.letter);
      return to(first < 0 ? rows.length - 1 : first);
    }
    case 'search-open':
      return { ...state, query: state.query === null ? '' : null, cursor: 0, top: 0 };
    case 'type':
      if (state.query === null) return state;
      return { ...state, query: state.query + press.letter, cursor: 0, top: 0 };
    case 'row-touch':
      return press.row < profile.list.rows && state.top + press.row < rows.length
        ? { ...state, cursor: state.top + press.row }
        : state;
    case 'list-load':
      return { ...state, loaded: rows[state.cursor] ?? null };
  }
}

/** The cursor inside the list, and the screen scrolled as little as shows it. */
function scrolled(state: ListState, length: number, rows: number): ListState {
  const cursor = Math.min(Math.max(0, state.cursor), Math.max(0, length - 1));
  const top = Math.min(Math.max(state.top, cursor - rows + 1), cursor);
  return { ...state, cursor, top };
}
