import { findStream } from './frames.ts';

/** Whether frames of MPEG audio follow each other somewhere in these first bytes (leading junk is common). */
export const sniff = (head: Uint8Array, isWholeFile: boolean) => findStream(head, 0, isWholeFile) >= 0;
