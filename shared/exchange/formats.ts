/** All text formats, and which of them a file is in. */
import { csv } from './csv/index.ts';
import { cueSheet } from './cue-sheet/index.ts';
import { markersJson } from './json/index.ts';
import { textOfBytes } from './text.ts';
import { ExchangeFault, type ExchangeContext, type ReadMarkers, type TextFormat } from './types.ts';
import { webvtt } from './webvtt/index.ts';

/** In the order in which they are offered: the exact ones first. */
export const TEXT_FORMATS: readonly TextFormat[] = [markersJson, csv, webvtt, cueSheet];

/** The format of a text, by what it says, else by its file's ending; null when neither tells. */
export function formatOf(text: string, fileName: string): TextFormat | null {
  const start = text.replace(/^\ufeff/, '').trimStart();
  if (/^WEBVTT(\s|$)/.test(start)) return webvtt;
  if (start.startsWith('{')) return markersJson;
  if (/^\s*TRACK\s+\d+\s+\S+/im.test(start) && /^\s*INDEX\s+\d+\s+\S+/im.test(start)) return cueSheet;
  if (/^(.*[,;\t])?\s*"?time"?\s*([,;\t].*)?$/i.test(start.split(/[\r\n]/, 1)[0])) return csv;
  const ending = fileName.slice(fileName.lastIndexOf('.') + 1).toLowerCase();
  return TEXT_FORMATS.find((f) => f.extension === ending) ?? null;
}

/**
 * Reads a text file of markers in whichever of the formats it is.
 * @throws ExchangeFault with one sentence
 */
export function readMarkersText(
  bytes: Uint8Array,
  context: ExchangeContext,
): ReadMarkers & { format: TextFormat } {
  const { text, notes } = textOfBytes(bytes, context.fileName);
  const format = formatOf(text, context.fileName);
  if (!format) {
    const known = TEXT_FORMATS.map((f) => `.${f.extension}`).join(', ');
    throw new ExchangeFault(
      `${context.fileName} is no file of markers that is known here: choose one of ${known}.`,
    );
  }
  const read = format.read(text, context);
  return { ...read, notes: [...notes, ...read.notes], format };
}
