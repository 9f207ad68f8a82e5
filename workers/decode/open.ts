/** Opens an audio file of any known format and hands out its samples block by block. */
import type { Partial } from '../../shared/analysis.ts';
import { openAiff } from './aiff/read.ts';
import { sniff as isAiff } from './aiff/sniff.ts';
import { openAdts } from './adts/read.ts';
import { sniff as isAdts } from './adts/sniff.ts';
import { openMp4 } from './mp4/read.ts';
import { sniff as isMp4 } from './mp4/sniff.ts';
import { openFlac } from './flac/read.ts';
import { sniff as isFlac } from './flac/sniff.ts';
import { skipId3v2 } from './id3.ts';
import { openMp3 } from './mp3/read.ts';
import { sniff as isMp3 } from './mp3/sniff.ts';
import { openOgg } from './ogg/read.ts';
import { sniff as isOgg } from './ogg/sniff.ts';
import { foreignCodec, kindOf } from './not-audio.ts';
import type { OpenReading, Reading } from './reading.ts';
import {
  damaged,
  damagedInside,
  empty,
  notAudio,
  oddRate,
  truncated,
  unsupportedCodec,
} from './sentences.ts';
import { guarded } from './source.ts';
import { DecodeFault, type Block, type ByteSource, type DecodeOptions, type OpenTrack } from './types.ts';
import { eventTurn } from '../turn.ts';
import { openWav } from './wav/read.ts';
import { sniff as isWav } from './wav/sniff.ts';

/** bytes that are looked at to tell the format; leading junk before MP3 frames may be this long */
const HEAD = 128 * 1024;
/** s: longest block handed out */
const LONGEST_BLOCK = 1;
/** s of audio after which the event loop gets a turn, so that a cancel message can arrive */
const BREATH = 5;
/** Frames of MP3 that the declared length may differ by, s: encoders count their own flush frames differently. */
const TOLERANCE = 0.06;

/** Formats with a signature, then those that are told by frames following each other. */
const READERS: [sniff: (head: Uint8Array, isWholeFile: boolean) => boolean, open: OpenReading][] = [
  [isWav, openWav],
  [isAiff, openAiff],
  [isFlac, openFlac],
  [isOgg, openOgg],
  [isMp4, openMp4],
  [isAdts, openAdts],
  [isMp3, openMp3],
];

async function openReading(source: ByteSource): Promise<Reading> {
  if (source.size === 0) throw new DecodeFault('empty', empty(source.name));
  const start = await skipId3v2(source);
  const head = await source.read(start, start + HEAD);
  // A tag that says it is longer than the file is: nothing but the tag was copied.
  if (head.length === 0) throw new DecodeFault('damaged', damaged(source.name));
  const foreign = foreignCodec(head);
  for (const [sniff, open] of READERS)
    if (sniff(head, start + head.length >= source.size)) return open(source, start);
  if (foreign) throw new DecodeFault('unsupported-codec', unsupportedCodec(source.name, foreign));
  if (start > 0) throw new DecodeFault('damaged', damaged(source.name));
  throw new DecodeFault('not-audio', notAudio(source.name, kindOf(head)));
}

const isAbort = (error: unknown) => error instanceof DOMException && error.name === 'AbortError';

/** Hz. The highest is what FLAC can say (RFC 9639, section 8.2: 20 bits); far below the lowest is no music. */
const LEAST_RATE = 1000;
const MOST_RATE = 2 ** 20 - 1;

/** Any error as a DecodeFault; cancels stay what they are. */
function asFault(error: unknown, name: string): unknown {
  return error instanceof DecodeFault || isAbort(error) ? error : new DecodeFault('damaged', damaged(name));
}

function throwIfAborted(signal: AbortSignal | undefined): void {
  if (signal?.aborted) throw new DOMException('Decoding was cancelled.', 'AbortError');
}

class Track implements OpenTrack {
  partial: Partial | null = null;
  readonly format;
  readonly declaredDuration;
  readonly ownBlocks;

  constructor(
    private readonly source: ByteSource,
    private readonly reading: Reading,
    private readonly options: DecodeOptions,
  ) {
    this.format = reading.format;
    this.declaredDuration = reading.declaredDuration;
    this.ownBlocks = reading.ownBlocks ?? false;
  }

  async *blocks(): AsyncGenerator<Block, void, void> {
    const { source, reading, options } = this;
    const { sampleRate, channels } = reading.format;
    this.partial = null;
    let share = 0;
    let isDamaged = false;
    let isTruncated = false;
    const run = {
      at: (position: number) => {
        const now = Math.min(1, position / source.size);
        if (now > share) options.onProgress?.((share = now));
      },
      damaged: () => void (isDamaged = true),
      truncated: () => void (isTruncated = true),
    };
    const longest = Math.max(1, Math.floor(sampleRate * LONGEST_BLOCK));
    let frames = 0;
    let nextBreath = 0;
    let turns = 0;
    throwIfAborted(options.signal);
    const decoded = reading.decode(run);
    try {
      for (;;) {
        let step: IteratorResult<Block, void>;
        try {
          step = await decoded.next();
        } catch (error) {
          if (isAbort(error) || frames === 0 || (error instanceof DecodeFault && error.code === 'unreadable'))
            throw asFault(error, source.name);
          isDamaged = true;
          break;
        }
        if (step.done) break;
        const block = step.value;
        const length = block.length === channels ? block[0].length : 0;
        for (let from = 0; from < length; from += longest) {
          throwIfAborted(options.signal);
          const piece = length <= longest ? block : block.map((x) => x.slice(from, from + longest));
          frames += piece[0].length;
          yield piece;
        }
        if (frames >= nextBreath || (length === 0 && ++turns % 4096 === 0)) {
          nextBreath = frames + BREATH * sampleRate;
          await eventTurn();
        }
        throwIfAborted(options.signal);
      }
    } finally {
      await decoded.return();
    }
    if (frames === 0 && (isDamaged || isTruncated || reading.declaredDuration !== 0))
      throw new DecodeFault('damaged', damaged(source.name));
    if (frames === 0) throw new DecodeFault('empty', empty(source.name));
    const read = frames / sampleRate;
    const declared = reading.declaredDuration;
    if (reading.durationIsExact && declared !== null && read < declared - TOLERANCE && !isDamaged)
      isTruncated = true;
    if (isTruncated) this.partial = { reason: 'truncated', sentence: truncated(source.name, read, declared) };
    else if (isDamaged)
      this.partial = { reason: 'damaged', sentence: damagedInside(source.name, read, declared) };
    run.at(source.size);
  }
}

/**
 * Opens a file: tells its format and reads its headers.
 * @throws DecodeFault with one plain sentence when the file is not audio, or of a kind that is not decoded here
 * @throws DOMException `AbortError` when the signal is aborted
 */
export async function openTrack(source: ByteSource, options: DecodeOptions = {}): Promise<OpenTrack> {
  throwIfAborted(options.signal);
  const safe = guarded(source);
  try {
    const reading = await openReading(safe);
    throwIfAborted(options.signal);
    const { sampleRate } = reading.format;
    if (!(sampleRate >= LEAST_RATE && sampleRate <= MOST_RATE))
      throw new DecodeFault('damaged', oddRate(source.name, sampleRate));
    return new Track(safe, reading, options);
  } catch (error) {
    throw asFault(error, source.name);
  }
}
