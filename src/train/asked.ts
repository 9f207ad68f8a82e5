/** What a session asks, one question after another, and how each went. */
import type { DrillId } from '../../shared/behaviour/drills/machine.ts';
import { explain } from '../../shared/drills/explain.ts';
import { judge } from '../../shared/drills/judge.ts';
import type { LoadingItem } from '../../shared/drills/loading/types.ts';
import type {
  DrillItem,
  DrillTrack,
  Explanation,
  HandRecord,
  Response,
  Score,
} from '../../shared/drills/types.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';

/** Asked with an answer that is one number: about a picture, or about a list or a file. */
export type Answerable = { kind: 'reading'; item: DrillItem } | { kind: 'loading'; item: LoadingItem };

/** The question that is open; `hand`: a round of a hand drill that is to be worked. */
export type Asked = Answerable | { kind: 'hand'; deckId: string; drill: DrillId };

interface Answer {
  value: number;
  score: Score;
}
export type ReadingOutcome = { kind: 'reading'; item: DrillItem; explanation: Explanation } & Answer;
export type LoadingOutcome = { kind: 'loading'; item: LoadingItem } & Answer;

/** How the open question went; `hand`: its round is over. */
export type Outcome = ReadingOutcome | LoadingOutcome | { kind: 'hand'; record: HandRecord };

/**
 * How a question went that is answered by a number.
 * @param tracks those that the question was made of
 * @param profiles all decks; the one that was shown among them
 * @throws RangeError when the response is out of bounds, or a track or deck is not at hand
 */
export function outcomeOf(
  asked: Answerable,
  response: Response,
  tracks: readonly DrillTrack[],
  profiles: readonly DeckProfile[],
): ReadingOutcome | LoadingOutcome {
  const { value } = response;
  if (asked.kind === 'reading') {
    const score = judge(asked.item, response);
    return { ...asked, value, score, explanation: explain(asked.item, { value }, tracks, profiles) };
  }
  return { ...asked, value, score: judge({ shown: {}, held: asked.item.held }, response) };
}
