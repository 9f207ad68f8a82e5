/** The first audio track of a movie: codec, packets, and what of it is to be played. */
import { fourCc, u16be, u32be, u64be } from '../bytes.ts';
import { boxes, find, type Box } from './boxes.ts';
import { packetsOf, totalDuration, type Packets } from './sample-table.ts';

export interface AudioTrack {
  id: number;
  /** Type of the sample entry: `mp4a`, `alac`, `enca`… */
  entry: string;
  /** Object type of an `mp4a` entry (ISO/IEC 14496-1 section 7.2.6.6), else null. */
  objectType: number | null;
  /** AudioSpecificConfig, or the ALAC cookie. */
  config: Uint8Array | null;
  channels: number;
  sampleRate: number;
  /** Ticks per second of the track. */
  timescale: number;
  /** Sum of packet durations, ticks. */
  duration: number;
  packets: Packets;
  /** Ticks to drop at the start, and to keep after that (null: all). */
  skip: number;
  keep: number | null;
}

const ENTRY_BYTES = 28;
/** Extra bytes of QuickTime sound descriptions, by version. */
const QUICKTIME_EXTRA = [0, 16, 36];
/** Tags of descriptors. ISO/IEC 14496-1 section 7.2.2.1. */
const ES_DESCRIPTOR = 3;
const DECODER_CONFIG = 4;
const DECODER_SPECIFIC = 5;

/** Reads a descriptor's tag and size; null at the end. */
function descriptor(
  b: Uint8Array,
  o: number,
  end: number,
): { tag: number; start: number; end: number } | null {
  if (o + 2 > end) return null;
  const tag = b[o++];
  let size = 0;
  for (let i = 0; i < 4 && o < end; i++) {
    const byte = b[o++];
    size = (size << 7) | (byte & 127);
    if (!(byte & 128)) break;
  }
  return { tag, start: o, end: Math.min(end, o + size) };
}

/** Object type and decoder-specific bytes of an `esds` box. */
function parseEsds(b: Uint8Array, esds: Box): { objectType: number; config: Uint8Array } | null {
  const es = descriptor(b, esds.start + 4, esds.end);
  if (!es || es.tag !== ES_DESCRIPTOR) return null;
  const flags = b[es.start + 2];
  let p = es.start + 3;
  if (flags & 0x80) p += 2;
  if (flags & 0x40) p += 1 + b[p];
  if (flags & 0x20) p += 2;
  const decoder = descriptor(b, p, es.end);
  if (!decoder || decoder.tag !== DECODER_CONFIG) return null;
  const specific = descriptor(b, decoder.start + 13, decoder.end);
  const config =
    specific?.tag === DECODER_SPECIFIC ? b.slice(specific.start, specific.end) : new Uint8Array(0);
  return { objectType: b[decoder.start], config };
}

interface Entry {
  entry: string;
  objectType: number | null;
  config: Uint8Array | null;
  channels: number;
  sampleRate: number;
}

function parseEntry(b: Uint8Array, stsd: Box): Entry | null {
  const [entry] = boxes(b, stsd.start + 8, stsd.end);
  if (!entry || entry.end - entry.start < ENTRY_BYTES) return null;
  const version = u16be(b, entry.start + 8);
  const children = entry.start + ENTRY_BYTES + (QUICKTIME_EXTRA[version] ?? 0);
  // QuickTime wraps the codec's boxes in a `wave` box.
  const wave = find(b, children, entry.end, 'wave');
  const inside = (type: string) =>
    find(b, children, entry.end, type) ?? (wave ? find(b, wave.start, wave.end, type) : null);
  const common = {
    entry: entry.type,
    channels: u16be(b, entry.start + 16),
    sampleRate: u16be(b, entry.start + 24),
  };
  if (entry.type === 'alac') {
    const alac = inside('alac');
    return { ...common, objectType: null, config: alac ? b.slice(alac.start + 4, alac.end) : null };
  }
  const esds = inside('esds');
  const parsed = esds ? parseEsds(b, esds) : null;
  return { ...common, objectType: parsed?.objectType ?? null, config: parsed?.config ?? null };
}

/** The first edit that plays media. ISO/IEC 14496-12 section 8.6.6. */
function parseEdits(b: Uint8Array, trak: Box): { duration: number; mediaTime: number } | null {
  const elst = find(b, trak.start, trak.end, 'edts', 'elst');
  if (!elst) return null;
  const long = b[elst.start] === 1;
  const size = long ? 20 : 12;
  const count = Math.min(u32be(b, elst.start + 4), Math.floor((elst.end - elst.start - 8) / size));
  const playing: { duration: number; mediaTime: number }[] = [];
  for (let i = 0; i < count; i++) {
    const p = elst.start + 8 + i * size;
    const duration = long ? u64be(b, p) : u32be(b, p);
    const high = u32be(b, p + 8) | 0;
    const mediaTime = long ? high * 2 ** 32 + u32be(b, p + 12) : u32be(b, p + 4) | 0;
    if (mediaTime >= 0) playing.push({ duration, mediaTime });
  }
  if (playing.length === 0) return null;
  // Several edits are the work of an editor that cut the track; all from the first on is played.
  return playing.length === 1 ? playing[0] : { ...playing[0], duration: 0 };
}

/** Delay, padding and length as the most common encoder notes them: `iTunSMPB`, common practice without a standard. */
function parseGaplessNote(b: Uint8Array, moov: Box): { delay: number; samples: number } | null {
  const meta = find(b, moov.start, moov.end, 'udta', 'meta');
  const ilst = meta ? find(b, meta.start + 4, meta.end, 'ilst') : null;
  if (!ilst) return null;
  for (const item of boxes(b, ilst.start, ilst.end)) {
    if (item.type !== '----') continue;
    const name = find(b, item.start, item.end, 'name');
    const data = find(b, item.start, item.end, 'data');
    if (!name || !data) continue;
    if (new TextDecoder().decode(b.subarray(name.start + 4, name.end)) !== 'iTunSMPB') continue;
    const words = new TextDecoder()
      .decode(b.subarray(data.start + 8, data.end))
      .trim()
      .split(/\s+/);
    const delay = parseInt(words[1], 16);
    const samples = parseInt(words[3], 16);
    return Number.isFinite(delay) && Number.isFinite(samples) && samples > 0 ? { delay, samples } : null;
  }
  return null;
}

function parseTrack(b: Uint8Array, moov: Box, trak: Box, movieScale: number): AudioTrack | null {
  const hdlr = find(b, trak.start, trak.end, 'mdia', 'hdlr');
  if (!hdlr || fourCc(b, hdlr.start + 8) !== 'soun') return null;
  const tkhd = find(b, trak.start, trak.end, 'tkhd');
  const mdhd = find(b, trak.start, trak.end, 'mdia', 'mdhd');
  const stbl = find(b, trak.start, trak.end, 'mdia', 'minf', 'stbl');
  const stsd = stbl ? find(b, stbl.start, stbl.end, 'stsd') : null;
  if (!tkhd || !mdhd || !stbl || !stsd) return null;
  const entry = parseEntry(b, stsd);
  const timescale = u32be(b, mdhd.start + (b[mdhd.start] === 1 ? 20 : 12));
  if (!entry || timescale === 0) return null;
  const edit = parseEdits(b, trak);
  const note = parseGaplessNote(b, moov);
  let skip = 0;
  let keep: number | null = null;
  if (edit) {
    skip = edit.mediaTime;
    if (edit.duration > 0 && movieScale > 0) keep = (edit.duration / movieScale) * timescale;
  } else if (note) {
    skip = note.delay;
    keep = note.samples;
  }
  return {
    id: u32be(b, tkhd.start + (b[tkhd.start] === 1 ? 20 : 12)),
    ...entry,
    timescale,
    duration: totalDuration(b, stbl),
    packets: packetsOf(b, stbl),
    skip,
    keep,
  };
}

/** The first audio track in a `moov` box, or null when it has none. */
export function audioTrack(b: Uint8Array, moov: Box): AudioTrack | null {
  const mvhd = find(b, moov.start, moov.end, 'mvhd');
  const movieScale = mvhd ? u32be(b, mvhd.start + (b[mvhd.start] === 1 ? 20 : 12)) : 0;
  for (const trak of boxes(b, moov.start, moov.end)) {
    const track = trak.type === 'trak' ? parseTrack(b, moov, trak, movieScale) : null;
    if (track) return track;
  }
  return null;
}
