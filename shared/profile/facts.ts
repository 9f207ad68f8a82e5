/** The facts of a profile as a list, read from the schema, so that editor and rules need no second list. */
import type * as v from 'valibot';
import { FACTS } from './schema.ts';
import type { Palette, ProfileFile } from './schema.ts';

export type FactGroup = keyof typeof FACTS;
export type FactName<G extends FactGroup> = keyof ProfileFile['facts'][G] & string;

type Values = { [G in FactGroup]: ProfileFile['facts'][G][FactName<G>] }[FactGroup];
type ValueOf<F> = F extends { value: infer V } ? (V extends readonly (infer I)[] ? I : V) : never;

/** Types that the words are checked against. */
export interface Facts {
  /** Every text that a fact can have as its value or in its list. */
  choice: Extract<ValueOf<Values>, string>;
  palette: Palette;
}

/** What can be put in for a fact. */
export type FactInput =
  | { type: 'boolean' }
  | { type: 'number'; min: number; max: number; whole: boolean }
  | { type: 'choice'; choices: readonly string[] }
  | { type: 'choices'; choices: readonly string[]; most: number }
  | { type: 'numbers'; min: number; max: number; most: number };

export interface FactField {
  group: FactGroup;
  name: string;
  input: FactInput;
}

/** All facts in the order of the schema. */
export const factFields: readonly FactField[] = Object.entries(FACTS).flatMap(([group, { entries }]) =>
  Object.entries(entries).map(([name, fact]) => ({
    group: group as FactGroup,
    name,
    input: inputOf(fact.entries.value as Schema),
  })),
);

/** As much of a schema as is read here; all of valibot's schemas and pipes have this shape. */
interface Schema extends v.GenericSchema {
  pipe?: readonly { type: string; requirement?: unknown }[];
  options?: readonly string[];
  item?: Schema;
}

function inputOf(schema: Schema): FactInput {
  const limit = (type: string, otherwise: number): number => {
    const found = schema.pipe?.find((action) => action.type === type)?.requirement;
    return typeof found === 'number' ? found : otherwise;
  };
  switch (schema.type) {
    case 'boolean':
      return { type: 'boolean' };
    case 'picklist':
      return { type: 'choice', choices: schema.options ?? [] };
    case 'number':
      return {
        type: 'number',
        min: limit('min_value', -Infinity),
        max: limit('max_value', Infinity),
        whole: schema.pipe?.some((action) => action.type === 'integer') ?? false,
      };
    case 'array': {
      const item = inputOf(schema.item as Schema);
      if (item.type === 'choice') {
        return { type: 'choices', choices: item.choices, most: limit('max_length', item.choices.length) };
      }
      if (item.type === 'number') {
        return { type: 'numbers', min: item.min, max: item.max, most: limit('max_length', Infinity) };
      }
    }
  }
  throw new TypeError(`No input is known for a fact of the type "${schema.type}".`);
}
