/**
 * Makes the published JSON Schema of the profile files from the valibot schema. Run after a change:
 * `npx tsx tests/profiles/json-schema.ts`
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { toJsonSchema } from '@valibot/to-json-schema';
import * as prettier from 'prettier';
import { factFields } from '../../shared/profile/facts.ts';
import { ProfileFileSchema } from '../../shared/profile/schema.ts';
import { factWords, paletteWords } from '../../shared/profile/words.ts';

const FILE = fileURLToPath(new URL('../../shared/profile/deck-profile.schema.json', import.meta.url));

interface Node {
  description?: string;
  properties: Record<string, Node>;
}

/** The text that the file should have. */
export async function schemaText(): Promise<string> {
  // Trimming is no demand on a file, and JSON Schema has no word for it.
  const root = toJsonSchema(ProfileFileSchema, { ignoreActions: ['trim'] }) as unknown as Node;
  const { facts, palette } = root.properties;
  for (const { group, name } of factFields) {
    const words = factWords[group];
    facts.properties[group].description = words.title;
    facts.properties[group].properties[name].description = (words.facts as Record<string, string>)[name];
  }
  for (const [name, label] of Object.entries(paletteWords)) palette.properties[name].description = label;
  const schema = {
    ...root,
    title: 'Boothproof deck profile',
    description:
      'What a deck generation shows and can do. Every fact is a value with its provenance. Rules between facts are checked by the app.',
  };
  return prettier.format(JSON.stringify(schema), { parser: 'json', printWidth: 110 });
}

/** The text that it has. */
export const publishedSchema = (): string => readFileSync(FILE, 'utf8');

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(FILE, await schemaText());
