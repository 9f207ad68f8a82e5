/** The shipped profiles as the tests read them. */
import { readFileSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readProfile } from '../../shared/profile/read.ts';
import { plainProfile } from '../../shared/profile/schema.ts';
import type { DeckProfile, ProfileFile } from '../../shared/profile/schema.ts';

const FOLDER = new URL('../../profiles/', import.meta.url);

export const shippedNames: string[] = readdirSync(fileURLToPath(FOLDER)).filter((n) => n.endsWith('.json'));

export const shippedText = (name: string): string => readFileSync(new URL(name, FOLDER), 'utf8');

/** A fresh copy, which a test may change. */
export function shippedFile(id: string): ProfileFile {
  const read = readProfile(shippedText(`${id}.json`), `${id}.json`);
  if (!read.ok) throw new Error(read.problems.join('\n'));
  return read.profile;
}

export const shippedDeck = (id: string): DeckProfile => plainProfile(shippedFile(id));
