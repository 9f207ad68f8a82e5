import { textAt } from '../bytes.ts';

/** Whether these first bytes are AIFF or AIFF-C. */
export const sniff = (head: Uint8Array) =>
  textAt(head, 0, 'FORM') && (textAt(head, 8, 'AIFF') || textAt(head, 8, 'AIFC'));
