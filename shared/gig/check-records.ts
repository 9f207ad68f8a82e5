/** Booths and sets as they come back from storage or from another's file: checked, with sentences for what is wrong. */
import * as v from 'valibot';
import { placeInWords, problemsOf } from '../profile/sentences.ts';
import { type Booth, BoothSchema, type GigSet, GigSetSchema } from './types.ts';

export type Checked<T> = { ok: true; value: T } | { ok: false; problems: string[] };

/** @returns the booth, or one sentence for each thing that is wrong; never throws */
export function checkBooth(data: unknown): Checked<Booth> {
  return checked(BoothSchema, data, 'This booth', ({ decks }) => {
    const twice = decks.find((deck, i) =>
      decks.some((d, j) => j < i && d.profileId === deck.profileId && d.linked === deck.linked),
    );
    return twice
      ? [
          `This booth: the deck "${twice.profileId}" is listed twice; list it once and set how many there are.`,
        ]
      : [];
  });
}

/** @returns the set, or one sentence for each thing that is wrong; never throws */
export function checkSet(data: unknown): Checked<GigSet> {
  return checked(GigSetSchema, data, 'This set', ({ entries }) => {
    const problems: string[] = [];
    const ids = new Set<string>();
    for (const [i, { id, mixIn, mixOut }] of entries.entries()) {
      if (ids.has(id)) problems.push(`This set: two entries have the id "${id}"; give each its own.`);
      ids.add(id);
      if (mixIn !== null && mixOut !== null && mixOut <= mixIn) {
        problems.push(
          `This set: entry ${i + 1} is left before it is brought in; put its mix-out after its mix-in.`,
        );
      }
    }
    return problems;
  });
}

function checked<T>(
  schema: v.GenericSchema<unknown, T>,
  data: unknown,
  what: string,
  between: (value: T) => string[],
): Checked<T> {
  const parsed = v.safeParse(schema, data);
  const problems = parsed.success
    ? between(parsed.output)
    : problemsOf(parsed.issues).map(({ path, sentence }) =>
        path.length ? `${what}: ${placeInWords(path)} ${sentence}.` : `${what} ${sentence}.`,
      );
  return parsed.success && !problems.length ? { ok: true, value: parsed.output } : { ok: false, problems };
}
