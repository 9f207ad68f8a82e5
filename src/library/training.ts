/** Answers to drills, their schedule and the open session, as the database keeps them. */
import { readSession } from '../../shared/drills/session.ts';
import type { AnswerRecord, CardRecord, HandRecord, Session } from '../../shared/drills/types.ts';
import type { Disk } from './disk.ts';
import { writing } from './transaction.ts';

export interface Training {
  /** In the order in which they were given. */
  answers: AnswerRecord[];
  /** Rounds of hand drills, likewise. */
  hands: HandRecord[];
  cards: CardRecord[];
  /** The session that is open, or null. */
  session: Session | null;
}

const WHAT = 'The answer';

/** A request whose failure the transaction tells: it may not be waited for where a later one fails at once. */
function asked(request: Promise<unknown>): Promise<unknown> {
  request.catch(() => {});
  return request;
}

export class TrainingStore {
  readonly #disk: Disk;

  constructor(disk: Disk) {
    this.#disk = disk;
  }

  load(): Promise<Training> {
    return this.#disk.read(
      async (db) => {
        const transaction = db.transaction(['answers', 'hands', 'cards', 'sessions']);
        const [answers, hands, cards, open] = await Promise.all([
          transaction.objectStore('answers').getAll(),
          transaction.objectStore('hands').getAll(),
          transaction.objectStore('cards').getAll(),
          transaction.objectStore('sessions').get('open'),
          transaction.done,
        ]);
        return { answers, hands, cards, session: readSession(open?.session) };
      },
      { answers: [], hands: [], cards: [], session: null },
    );
  }

  /** Keeps an answer with what it makes of its card and of the session: all of it, or nothing. */
  async answered(answer: AnswerRecord, card: CardRecord | null, session: Session): Promise<void> {
    await this.#disk.write(WHAT, (db) =>
      writing(db, ['answers', 'cards', 'sessions'], async (transaction) => {
        // All requests at once: nothing but the first turn is certain when the page is closing.
        const requests: Promise<unknown>[] = [
          asked(transaction.objectStore('answers').add(answer)),
          asked(transaction.objectStore('sessions').put({ id: 'open', session, savedAt: answer.at })),
        ];
        if (card) requests.push(transaction.objectStore('cards').put(card));
        await Promise.all(requests);
      }),
    );
  }

  /** Keeps a round of a hand drill with its card and, where it was of one, the session: all of it, or nothing. */
  async worked(round: HandRecord, card: CardRecord, session: Session | null): Promise<void> {
    await this.#disk.write('The round', (db) =>
      writing(db, ['hands', 'cards', 'sessions'], async (transaction) => {
        const requests: Promise<unknown>[] = [
          asked(transaction.objectStore('hands').add(round)),
          asked(transaction.objectStore('cards').put(card)),
        ];
        if (session)
          requests.push(transaction.objectStore('sessions').put({ id: 'open', session, savedAt: round.at }));
        await Promise.all(requests);
      }),
    );
  }

  /** Keeps the session as it stands; null: none is open. */
  async keepSession(session: Session | null, now: number): Promise<void> {
    await this.#disk.write('The session', async (db) => {
      if (session) await db.put('sessions', { id: 'open', session, savedAt: now });
      else await db.delete('sessions', 'open');
    });
  }
}
