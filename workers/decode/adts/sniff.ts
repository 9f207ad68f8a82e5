import { findFrames } from './frames.ts';

/** Whether ADTS frames follow each other from somewhere in these first bytes. */
export const sniff = (head: Uint8Array, isWholeFile: boolean) => findFrames(head, 0, isWholeFile) >= 0;
