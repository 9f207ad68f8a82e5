import { fourCc } from '../bytes.ts';

/** Boxes that a file may begin with; files of before 2001 have no `ftyp`. */
const FIRST_BOXES = ['ftyp', 'moov', 'mdat', 'wide', 'free', 'skip', 'pnot'];

/** Whether these first bytes are an ISO base media (MP4, M4A, QuickTime) file. */
export const sniff = (head: Uint8Array) => head.length >= 12 && FIRST_BOXES.includes(fourCc(head, 4));
