import { textAt } from '../bytes.ts';

/** Whether these first bytes are an Ogg page. */
export const sniff = (head: Uint8Array) => textAt(head, 0, 'OggS');
