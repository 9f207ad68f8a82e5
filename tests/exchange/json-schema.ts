/**
 * Makes the published JSON Schema of the files of markers from the valibot schema. Run after a change:
 * `npx tsx tests/exchange/json-schema.ts`
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { toJsonSchema } from '@valibot/to-json-schema';
import * as prettier from 'prettier';
import { MarkersFileSchema } from '../../shared/exchange/json/schema.ts';

const FILE = fileURLToPath(
  new URL('../../shared/exchange/json/boothproof-markers.schema.json', import.meta.url),
);

/** Words for the fields, by name. */
const WORDS: Record<string, string> = {
  id: 'Unique within its track',
  time: 'Seconds from the first decoded sample of the audio',
  endTime: 'End of the loop, seconds from the first decoded sample; after its time',
  name: 'May be empty',
  importance: '3 the set needs it, 2 useful, 1 nice to have',
  slot: 'Number of the slot, each used once; null: none yet',
  colour: 'Colour as #rrggbb in small letters; null: none chosen',
  beats: 'Length in beats where it was set in beats, else null',
  duration: 'Length of the track, seconds',
};

interface Node {
  description?: string;
  properties?: Record<string, Node>;
  [key: string]: unknown;
}

function described(node: unknown): void {
  if (typeof node !== 'object' || node === null) return;
  for (const [key, child] of Object.entries((node as Node).properties ?? {})) {
    if (WORDS[key]) child.description = WORDS[key];
  }
  Object.values(node).forEach(described);
}

/** The text that the file should have. */
export async function schemaText(): Promise<string> {
  // JSON has no number that is not finite.
  const root = toJsonSchema(MarkersFileSchema, { ignoreActions: ['finite'] });
  described(root);
  const schema = {
    ...root,
    title: 'Boothproof markers',
    description:
      'Hot cues, structure marks and loops of one track. Ids and slots are each used once; a loop ends after its time.',
  };
  return prettier.format(JSON.stringify(schema), { parser: 'json', printWidth: 110 });
}

/** The text that it has. */
export const publishedSchema = (): string => readFileSync(FILE, 'utf8');

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(FILE, await schemaText());
