import { textAt } from '../bytes.ts';

/** Whether these first bytes are a native FLAC stream. */
export const sniff = (head: Uint8Array) => textAt(head, 0, 'fLaC');
