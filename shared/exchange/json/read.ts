import * as v from 'valibot';
import { faultOf } from '../../markers/marker.ts';
import { jsonFault } from '../../profile/json-fault.ts';
import { misplaced, ownFileIn } from '../../own-files.ts';
import { placeInWords, problemsOf } from '../../profile/sentences.ts';
import { minutesOf } from '../clock.ts';
import { settled } from '../points.ts';
import { ExchangeFault, faultAtLine, type ExchangeContext, type ReadMarkers } from '../types.ts';
import { MARKERS_FORMAT, MARKERS_VERSION, MarkersFileSchema } from './schema.ts';

/** s: lengths that differ by more belong to two tracks, or to two versions of one */
const SAME_LENGTH = 0.5;

/** @throws ExchangeFault with the place and what would be right there */
export function read(text: string, context: ExchangeContext): ReadMarkers {
  const whole = text.replace(/^\ufeff/, '');
  const { fileName } = context;
  if (!whole.trim()) throw new ExchangeFault(`${fileName} is empty: choose a file of markers.`);
  const own = ownFileIn(whole);
  if (own && own.format !== MARKERS_FORMAT) {
    throw new ExchangeFault(`${fileName} ${misplaced(own, 'file of markers')}.`);
  }
  const syntax = jsonFault(whole);
  if (syntax) {
    throw faultAtLine(
      context,
      syntax.line,
      `not valid JSON at column ${syntax.column}: ${syntax.found} stands there; it must be ${syntax.expected}.`,
    );
  }
  const data = JSON.parse(whole) as unknown;
  const version = (data as { version?: unknown } | null)?.version;
  if (typeof version === 'number' && version > MARKERS_VERSION) {
    throw new ExchangeFault(
      `${fileName} was written by a newer Boothproof (version ${version} of the format): reload the page to get the newer one.`,
    );
  }
  const read = v.safeParse(MarkersFileSchema, data);
  if (!read.success) {
    const [problem] = problemsOf(read.issues);
    throw new ExchangeFault(`${fileName}: ${placeInWords(problem.path)} ${problem.sentence}.`);
  }
  const { track, markers } = read.output;
  const fault = faultOf(markers);
  if (fault) throw new ExchangeFault(`${fileName}: ${fault}`);
  const notes: string[] = [];
  if (track && Math.abs(track.duration - context.duration) > SAME_LENGTH) {
    notes.push(
      `${fileName} was made for a track of ${minutesOf(track.duration)}, and this one has ${minutesOf(context.duration)}: ` +
        'check that the file belongs to it.',
    );
  }
  return settled(markers, notes, context);
}
