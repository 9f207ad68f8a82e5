/** Decks that a person might describe: facts of any value with which they still fit together. */
import fc from 'fast-check';
import { deckFromAnswers } from '../../shared/gig/answers/answers.ts';
import { factFields, type FactInput } from '../../shared/profile/facts.ts';
import { checkProfile } from '../../shared/profile/read.ts';
import { type DeckProfile, plainProfile } from '../../shared/profile/schema.ts';
import { shippedFile, shippedNames } from './files.ts';

/** Every fact with any value that its schema allows. */
export const valueOf = (input: FactInput): fc.Arbitrary<unknown> => {
  switch (input.type) {
    case 'boolean':
      return fc.boolean();
    case 'choice':
      return fc.constantFrom(...input.choices);
    case 'choices':
      return fc.uniqueArray(fc.constantFrom(...input.choices), { maxLength: input.most });
    case 'number':
      return input.whole
        ? fc.integer({ min: input.min, max: input.max })
        : fc.double({ min: input.min, max: input.max, noNaN: true });
    case 'numbers':
      return fc
        .uniqueArray(fc.integer({ min: Math.ceil(input.min), max: input.max }), { maxLength: 5 })
        .map((list) => list.sort((a, b) => a - b));
  }
};

const SHIPPED = shippedNames.map((name) => shippedFile(name.replace('.json', '')));
/** A shipped deck that lacks some things altogether. */
const without = fc.record({
  waveformScrolls: fc.constantFrom(null, false),
  quantise: fc.constantFrom(null, 'none' as const),
  loopButtons: fc.constantFrom(null, 'none' as const),
  beatJump: fc.constantFrom(null, 'none' as const),
  cuePads: fc.constantFrom(null, 0),
});
/** … and of which some facts are any value with which they still fit together. */
export const anyDeck: fc.Arbitrary<DeckProfile> = fc
  .tuple(
    fc.constantFrom(...SHIPPED),
    without,
    fc.tuple(...factFields.map(({ input }) => fc.option(valueOf(input), { freq: 2 }))),
  )
  .map(([base, answers, values]) => {
    let file = deckFromAnswers(answers, [base], []).file ?? base;
    factFields.forEach(({ group, name }, i) => {
      if (values[i] === null) return;
      const changed = structuredClone(file);
      (changed.facts[group] as Record<string, { value: unknown }>)[name].value = values[i];
      if ('profile' in checkProfile(changed)) file = changed;
    });
    return plainProfile(file);
  });
