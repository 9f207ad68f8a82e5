import type { Marker } from '../../markers/marker.ts';
import { MS_PER_SECOND, clockOf } from '../clock.ts';
import { oneLine } from '../names.ts';
import { chapterEnds, pointsOf } from '../points.ts';
import type { ExchangeContext } from '../types.ts';

/** Text of a cue: `&` and `<` start something else there, and `>` could end in an arrow. */
const escaped = (text: string) =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');

/** @throws ExchangeFault when the markers cannot be written */
export function write(markers: readonly Marker[], context: ExchangeContext): string {
  const points = pointsOf(markers, MS_PER_SECOND, context);
  const ends = chapterEnds(points, MS_PER_SECOND, context.duration);
  const title = oneLine(context.title ?? '').replaceAll('-->', '→');
  const blocks = [title ? `WEBVTT ${title}` : 'WEBVTT'];
  points.forEach(({ at, title: name, exact }, i) => {
    blocks.push(`${exact}\n${clockOf(at)} --> ${clockOf(ends[i])}\n${escaped(name)}`);
  });
  return `${blocks.join('\n\n')}\n`;
}
