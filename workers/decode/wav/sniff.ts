import { textAt } from '../bytes.ts';

/** Whether these first bytes are RIFF/WAVE, RF64 or BW64. */
export const sniff = (head: Uint8Array) =>
  (textAt(head, 0, 'RIFF') || textAt(head, 0, 'RF64') || textAt(head, 0, 'BW64')) && textAt(head, 8, 'WAVE');
