/** Our own JSON: exact, with a published JSON Schema. */
import type { TextFormat } from '../types.ts';
import { read } from './read.ts';
import { write } from './write.ts';

export const markersJson: TextFormat = {
  id: 'json',
  name: 'Boothproof markers (JSON)',
  extension: 'json',
  mediaType: 'application/json',
  resolution: 0,
  write,
  read,
  unseen: () => [],
};
