/** The files of a take-along folder, in the order in which they are written. */
import type { Card } from '../../../shared/gig/card/card.ts';
import type { GigSet, SetEntry } from '../../../shared/gig/types.ts';
import { writePlaylist } from '../../../shared/gig/playlist/m3u8.ts';
import { markersJson } from '../../../shared/exchange/json/index.ts';
import { webvtt } from '../../../shared/exchange/webvtt/index.ts';
import { inOrder } from '../../../shared/markers/marker.ts';
import { copyFileName } from '../../../workers/copy/copy.ts';
import { CopyFault, type CopyReport, type LevelRule } from '../../../workers/copy/types.ts';
import type { AnalysisWorker } from '../../queue/worker.ts';
import { blobFile, copyFile, textFile } from '../../take/files.ts';
import { CHECKSUMS_NAME, bytesOfText } from '../../take/hashed.ts';
import { uniquePaths } from '../../take/names.ts';
import type { TakeFile } from '../../take/types.ts';
import { type CardLook, cardPage } from '../card/markup.ts';

import type { TakeItem } from './plan.ts';
import { copiesText, readMe, words } from './words.ts';

export interface TakeParts {
  set: GigSet;
  boothName: string;
  items: readonly TakeItem[];
  /** null: no card goes along */
  card: Card | null;
  withMarkers: boolean;
  level: LevelRule;
  /** Larger covers are left out of copies, bytes; null: as usual. */
  mostCoverBytes: number | null;
  createWorker: () => AnalysisWorker;
  /** The track's file; null when it is not to be had any more. */
  blobOf: (id: string) => Promise<Blob | null>;
  /** Share of the copy that is being made, 0..1. */
  onCopyProgress: (share: number) => void;
}

export interface TakeSet {
  files: TakeFile[];
  /** Filled while the files are written. */
  reports: { path: string; report: CopyReport }[];
}

const PAPER: CardLook = { paper: 'a4', sides: 'two' };
const PHONE: CardLook = { paper: 'phone', sides: 'one' };
const FEWEST_DIGITS = 2;

interface Music {
  item: TakeItem;
  path: string;
  /** Of the marker files: the music's name without folder and ending. */
  stem: string;
}

/** Names that sort in the order of the set, each its own. */
function musicOf(items: readonly TakeItem[], entries: number): Music[] {
  const digits = Math.max(FEWEST_DIGITS, String(entries).length);
  const going = items.filter(({ carriage }) => carriage !== 'leave-out');
  const wished = going.map(({ track, number, carriage, wish }) => {
    const plain = track.fileName.replaceAll(/[/\\]/g, '-');
    const name = carriage === 'copy' && wish ? copyFileName(plain, wish.container) : plain;
    return `${words.musicFolder}/${String(number).padStart(digits, '0')} ${name}`;
  });
  return uniquePaths(wished).map((path, i) => ({
    item: going[i],
    path,
    stem: path.slice(path.indexOf('/') + 1).replace(/\.[^.]*$/, ''),
  }));
}

function musicFile({ item, path }: Music, parts: TakeParts, reports: TakeSet['reports']): TakeFile {
  const { track, carriage, wish, rename } = item;
  const blobOf = async () => {
    const blob = await parts.blobOf(track.id);
    if (!blob) throw new CopyFault(words.noAudio(track.fileName));
    return blob;
  };
  return {
    path,
    async open(signal) {
      const blob = await blobOf();
      signal.throwIfAborted();
      if (carriage !== 'copy' || !wish) return blobFile(path, blob).open(signal);
      const { level, mostCoverBytes, createWorker, onCopyProgress } = parts;
      return copyFile(path, createWorker, blob, track.fileName, {
        wish,
        level,
        markers: track.markers,
        ...(rename && { title: rename }),
        ...(mostCoverBytes !== null && { mostCoverBytes }),
        onProgress: onCopyProgress,
        onReport: (report) => reports.push({ path, report }),
      }).open(signal);
    },
  };
}

function markerFiles({ item, stem }: Music): TakeFile[] {
  const { markers, duration, title, artist, fileName } = item.track;
  if (!markers.length) return [];
  return [markersJson, webvtt].map((format) => {
    const path = `${words.markersFolder}/${stem}.${format.extension}`;
    const context = { fileName: path, duration, title, artist, audioName: fileName };
    return textFile(path, format.write(inOrder(markers), context));
  });
}

function playlist({ set, items }: TakeParts, music: readonly Music[]): string {
  const paths = new Map(music.map(({ item, path }) => [item.track.id, path]));
  const tracks = new Map(items.map(({ track }) => [track.id, track]));
  const pathOf = ({ trackId }: SetEntry) => (trackId === null ? null : (paths.get(trackId) ?? null));
  const entries = set.entries.map((entry) => ({
    ...entry,
    path: pathOf(entry) ?? '',
    title: entry.nameOnDrive || entry.title || entry.fileName,
    seconds: (entry.trackId !== null && tracks.get(entry.trackId)?.duration) || null,
  }));
  return writePlaylist(entries, pathOf, set.name);
}

/** @throws ExchangeFault when markers cannot be written */
export function takeFiles(parts: TakeParts): TakeSet {
  const { set, boothName, items, card, withMarkers } = parts;
  const music = musicOf(items, set.entries.length);
  const reports: TakeSet['reports'] = [];
  const copies = items.some(({ carriage }) => carriage === 'copy');
  const markers = withMarkers ? music.flatMap(markerFiles) : [];
  const what = { cards: card !== null, markers: markers.length > 0, copies };
  const files: TakeFile[] = [
    textFile(words.readMeName, readMe(set.name, boothName, what)),
    ...(card ? [textFile(words.cardName, cardPage(card, PAPER))] : []),
    ...(card ? [textFile(words.phoneCardName, cardPage(card, PHONE))] : []),
    ...markers,
    ...music.map((each) => musicFile(each, parts, reports)),
    // Not before the music, to which it points.
    textFile(`${set.name.replaceAll(/[/\\]/g, '-')}.m3u8`, playlist(parts, music)),
  ];
  // What was done is known only when it is done.
  if (copies) {
    files.push({ path: words.copiesName, open: async () => bytesOfText(copiesText(reports)) });
  }
  // The music's own paths are unique already, and come out as they were: the playlist points to them.
  const taken = [CHECKSUMS_NAME, 'NOT FINISHED.txt'];
  const paths = uniquePaths(
    files.map(({ path }) => path),
    taken,
  );
  return { files: files.map((file, i) => ({ ...file, path: paths[i] })), reports };
}
