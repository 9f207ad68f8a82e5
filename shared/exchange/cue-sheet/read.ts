import { isExact, readExact } from '../exact.ts';
import { shownName } from '../names.ts';
import { settled, unsettled, type SeenPoint } from '../points.ts';
import { linesOf } from '../text.ts';
import { ExchangeFault, faultAtLine, type ExchangeContext, type ReadMarkers } from '../types.ts';
import { FRAMES_PER_SECOND, framesOf } from './frames.ts';
import { START_REMARK, quotable } from './write.ts';

/** Commands that say nothing about where a track begins. */
const WITHOUT_PLACE = new Set([
  'CATALOG',
  'CDTEXTFILE',
  'FLAGS',
  'ISRC',
  'PERFORMER',
  'POSTGAP',
  'SONGWRITER',
]);

interface Track {
  /** Number of its line. */
  line: number;
  audio: boolean;
  title: string;
  exact: string[];
  /** It was added only because a file's first index must be its start. */
  added: boolean;
  at: number | null;
}

/** The words of a line; a text in double quotes is one. */
function wordsOf(line: string): string[] {
  return [...line.matchAll(/"([^"]*)"?|\S+/g)].map((found) => found[1] ?? found[0]);
}

class SheetReader {
  readonly tracks: Track[] = [];
  readonly hidden: string[] = [];
  private file: number | null = null;
  private unknown = new Set<string>();
  private pregaps = 0;
  private laterIndexes = 0;

  constructor(private readonly context: ExchangeContext) {}

  take(text: string, line: number): void {
    const words = wordsOf(text);
    if (words.length === 0) return;
    const command = words[0].toUpperCase();
    const track = this.tracks.at(-1) ?? null;
    if (command === 'REM') this.remark(text.trim().slice(3).trim(), track);
    else if (command === 'FILE') this.takeFile(line);
    else if (command === 'TRACK') this.takeTrack(words, line);
    else if (command === 'INDEX') this.takeIndex(words, line, track);
    else if (command === 'PREGAP') this.pregaps++;
    else if (command === 'TITLE') {
      if (track) track.title = words[1] ?? '';
    } else if (!WITHOUT_PLACE.has(command)) this.unknown.add(command.slice(0, 20));
  }

  private remark(remark: string, track: Track | null): void {
    if (track && remark === START_REMARK) track.added = true;
    else if (isExact(remark)) (track ? track.exact : this.hidden).push(remark);
  }

  private takeFile(line: number): void {
    if (this.file !== null) {
      throw faultAtLine(
        this.context,
        line,
        `a second FILE begins here (the first is in line ${this.file}); make one sheet for each audio file.`,
      );
    }
    this.file = line;
  }

  private takeTrack(words: string[], line: number): void {
    if (!/^\d{1,3}$/.test(words[1] ?? '')) {
      throw faultAtLine(this.context, line, 'TRACK needs a number and a kind, such as “TRACK 01 AUDIO”.');
    }
    const audio = (words[2] ?? '').toUpperCase() === 'AUDIO';
    this.tracks.push({ line, audio, title: '', exact: [], added: false, at: null });
  }

  private takeIndex(words: string[], line: number, track: Track | null): void {
    if (!track)
      throw faultAtLine(this.context, line, 'INDEX stands before any TRACK; put a TRACK line first.');
    const at = framesOf(words[2] ?? '');
    if (!/^\d{1,2}$/.test(words[1] ?? '') || at === null) {
      throw faultAtLine(
        this.context,
        line,
        'INDEX needs a number and a time mm:ss:ff (seconds to 59, frames to 74), such as “INDEX 01 03:25:60”.',
      );
    }
    const index = Number(words[1]);
    if (index > 1) this.laterIndexes++;
    if (index !== 1) return;
    if (track.at !== null) {
      throw faultAtLine(this.context, line, 'this track has an INDEX 01 already; delete one of the two.');
    }
    track.at = at;
  }

  notes(): string[] {
    const { fileName } = this.context;
    const notes: string[] = [];
    const data = this.tracks.filter((t) => !t.audio).length;
    if (data > 0) notes.push(`${fileName}: ${data} tracks that are not audio were left out.`);
    if (this.laterIndexes > 0) {
      notes.push(
        `${fileName}: only INDEX 01 marks a track’s start; ${this.laterIndexes} later indexes were left out.`,
      );
    }
    if (this.pregaps > 0) {
      notes.push(`${fileName}: pauses (PREGAP) are not in the audio and were left out.`);
    }
    if (this.unknown.size > 0) {
      notes.push(`${fileName}: not known here and left out: ${[...this.unknown].join(', ')}.`);
    }
    return notes;
  }
}

/** @throws ExchangeFault with the line and what would be right there */
export function read(text: string, context: ExchangeContext): ReadMarkers {
  const reader = new SheetReader(context);
  linesOf(text).forEach((line, i) => reader.take(line, i + 1));
  const { tracks, hidden } = reader;
  if (tracks.length === 0) {
    throw new ExchangeFault(
      `${context.fileName} has no TRACK line, so it is no cue sheet: choose another file.`,
    );
  }
  const seen: SeenPoint[] = [];
  for (const track of tracks) {
    if (!track.audio) continue;
    const { at } = track;
    if (at === null) {
      throw faultAtLine(context, track.line, 'this track has no INDEX 01; add the time at which it begins.');
    }
    if (track.added && at === 0) continue;
    if (track.exact.length === 0) seen.push({ at, title: track.title });
    track.exact.forEach((exact, i) => {
      // The sheet shows the title of the first only; the others keep their own.
      const marker = i === 0 ? null : readExact(exact);
      seen.push({ at, title: marker ? quotable(shownName(marker)) : track.title, exact });
    });
  }
  const points = unsettled(seen, FRAMES_PER_SECOND, context, quotable);
  const unshown = hidden.flatMap((exact) => readExact(exact) ?? []);
  const lost = hidden.length - unshown.length;
  const lostNote = `${context.fileName}: ${lost} remarks about further markers could not be read any more.`;
  return settled(
    [...points.markers, ...unshown],
    [...points.notes, ...reader.notes(), ...(lost > 0 ? [lostNote] : [])],
    context,
  );
}
