/** Text from files and persons on its way into markup. */
import { wellFormed } from '../../../shared/gig/playlist/path.ts';

const ENTITIES: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

// Neither HTML nor XML takes these; marks of direction could turn the text around them about.
// eslint-disable-next-line no-control-regex -- control characters are what is taken out
const UNWANTED = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069\ufffe\uffff]/g;

/** The text as it may stand between tags and in quoted attributes (HTML Standard, 13.1 "Writing HTML documents"). */
export const escapeHtml = (text: string): string =>
  wellFormed(text)
    .replace(UNWANTED, '')
    .replace(/[&<>"']/g, (character) => ENTITIES[character]);
