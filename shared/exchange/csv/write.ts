import type { Marker } from '../../markers/marker.ts';
import { checkedMarkers } from '../points.ts';
import type { ExchangeContext } from '../types.ts';
import { COLUMNS, guarded, type Column } from './columns.ts';

const quoted = (field: string) => (/[",\r\n]/.test(field) ? `"${field.replaceAll('"', '""')}"` : field);

function fieldsOf(marker: Marker): Record<Column, string> {
  const { kind, time, name, importance, id } = marker;
  const empty = { end: '', slot: '', colour: '', beats: '' };
  const common = {
    ...empty,
    kind,
    time: String(time),
    name: guarded(name),
    importance: String(importance),
    id: guarded(id),
  };
  if (marker.kind === 'cue') {
    return { ...common, slot: String(marker.slot ?? ''), colour: marker.colour ?? '' };
  }
  if (marker.kind === 'loop') {
    return { ...common, end: String(marker.endTime), beats: String(marker.beats ?? '') };
  }
  return common;
}

/** @throws ExchangeFault when the markers cannot be written */
export function write(markers: readonly Marker[], context: ExchangeContext): string {
  const rows = checkedMarkers(markers, context).map((marker) => {
    const fields = fieldsOf(marker);
    return COLUMNS.map((column) => quoted(fields[column]));
  });
  return [COLUMNS, ...rows].map((row) => `${row.join(',')}\r\n`).join('');
}
