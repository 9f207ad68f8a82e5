import type { Marker } from '../../markers/marker.ts';
import { inSchemaOrder } from '../exact.ts';
import { checkedMarkers } from '../points.ts';
import type { ExchangeContext } from '../types.ts';
import { MARKERS_FORMAT, MARKERS_VERSION } from './schema.ts';

const MOST_TITLE = 500;
/** One marker to a line. @throws ExchangeFault when the markers cannot be written */
export function write(markers: readonly Marker[], context: ExchangeContext): string {
  const lines = checkedMarkers(markers, context).map((m) => `    ${JSON.stringify(inSchemaOrder(m))}`);
  const { title, artist, duration } = context;
  const track = {
    title: title?.slice(0, MOST_TITLE) ?? null,
    artist: artist?.slice(0, MOST_TITLE) ?? null,
    duration,
  };
  return [
    '{',
    `  "format": ${JSON.stringify(MARKERS_FORMAT)},`,
    `  "version": ${MARKERS_VERSION},`,
    `  "track": ${JSON.stringify(track)},`,
    lines.length > 0 ? `  "markers": [\n${lines.join(',\n')}\n  ]` : '  "markers": []',
    '}\n',
  ].join('\n');
}
