/**
 * RIFF/WAVE. Specifications: "Multimedia Programming Interface and Data Specifications 1.0" (IBM, Microsoft 1991)
 * https://www.mmsp.ece.mcgill.ca/Documents/AudioFormats/WAVE/WAVE.html ; WAVE_FORMAT_EXTENSIBLE (same page);
 * RF64 / BW64: EBU Tech 3306 and ITU-R BS.2088 https://www.itu.int/rec/R-REC-BS.2088
 */
import { fourCc, u16le, u32le, u64le } from '../bytes.ts';
import { decodePcm } from '../pcm-reading.ts';
import { frameBytes, pcmSupported, type PcmLayout } from '../pcm.ts';
import type { OpenReading } from '../reading.ts';
import { damaged, unsupportedCodec } from '../sentences.ts';
import { DecodeFault } from '../types.ts';

const FORMAT_PCM = 1;
const FORMAT_FLOAT = 3;
const FORMAT_ALAW = 6;
const FORMAT_ULAW = 7;
const FORMAT_EXTENSIBLE = 0xfffe;
/** Size field of a stream whose writer did not know the length, or whose length stands in `ds64`. */
const UNKNOWN_SIZE = 0xffffffff;
/** bytes of the `fmt ` chunk that are of interest */
const FMT_BYTES = 40;
/** More chunks than any writer makes: a damaged header must not be walked for minutes. */
const MOST_CHUNKS = 4096;

/** Names of format tags that are met in old files, from the registry of RFC 2361. */
const OTHER_CODECS: Record<number, string> = {
  0x02: 'ADPCM',
  0x11: 'IMA ADPCM',
  0x31: 'GSM 6.10',
  0x50: 'MPEG audio in WAV',
  0x55: 'MP3 in WAV',
  0x92: 'AC-3',
  0xff: 'AAC in WAV',
  0x160: 'Windows Media Audio',
  0x161: 'Windows Media Audio',
  0x162: 'Windows Media Audio',
  0x163: 'Windows Media Audio Lossless',
};

interface Fmt {
  tag: number;
  channels: number;
  sampleRate: number;
  blockAlign: number;
  bits: number;
}

function parseFmt(b: Uint8Array): Fmt | null {
  if (b.length < 16) return null;
  let tag = u16le(b, 0);
  const channels = u16le(b, 2);
  const sampleRate = u32le(b, 4);
  const blockAlign = u16le(b, 12);
  const bits = u16le(b, 14);
  // The first two bytes of the SubFormat GUID are the tag that says what the samples are.
  if (tag === FORMAT_EXTENSIBLE && b.length >= 26) tag = u16le(b, 24);
  return { tag, channels, sampleRate, blockAlign, bits };
}

function layoutOf(fmt: Fmt): PcmLayout | null {
  // blockAlign is what readers go by: 20 or 12 valid bits stand left-justified in whole bytes.
  const perSample = fmt.channels > 0 ? (fmt.blockAlign * 8) / fmt.channels : 0;
  const containerBits = [8, 16, 24, 32, 64].includes(perSample) ? perSample : Math.ceil(fmt.bits / 8) * 8;
  const kind = (
    {
      [FORMAT_PCM]: containerBits === 8 ? 'unsigned' : 'int',
      [FORMAT_FLOAT]: 'float',
      [FORMAT_ALAW]: 'alaw',
      [FORMAT_ULAW]: 'ulaw',
    } as Record<number, PcmLayout['kind']>
  )[fmt.tag];
  return kind === undefined ? null : { channels: fmt.channels, containerBits, kind, littleEndian: true };
}

export const openWav: OpenReading = async (source, start) => {
  let fmt: Fmt | null = null;
  let longDataSize: number | null = null;
  let position = start + 12;
  for (let chunk = 0; chunk < MOST_CHUNKS; chunk++) {
    const head = await source.read(position, position + 8);
    if (head.length < 8) throw new DecodeFault('damaged', damaged(source.name));
    const id = fourCc(head, 0);
    const size = u32le(head, 4);
    const body = position + 8;
    if (id === 'fmt ') fmt = parseFmt(await source.read(body, body + Math.min(size, FMT_BYTES)));
    else if (id === 'ds64') {
      const ds64 = await source.read(body, body + 24);
      if (ds64.length >= 16) longDataSize = u64le(ds64, 8);
    } else if (id === 'data') {
      if (!fmt) throw new DecodeFault('damaged', damaged(source.name));
      const layout = layoutOf(fmt);
      if (!layout)
        throw new DecodeFault(
          'unsupported-codec',
          unsupportedCodec(
            source.name,
            OTHER_CODECS[fmt.tag] ?? `WAV format 0x${fmt.tag.toString(16).padStart(4, '0')}`,
          ),
        );
      if (!pcmSupported(layout) || fmt.sampleRate < 1) throw new DecodeFault('damaged', damaged(source.name));
      const known = size === UNKNOWN_SIZE ? longDataSize : size;
      // Recorders that lost power leave a size of 0 (or all ones): then everything up to the end is audio.
      const open = known === null || known === 0;
      const end = open ? source.size : body + known;
      const frames = Math.floor((end - body) / frameBytes(layout));
      const float = layout.kind === 'float';
      return {
        format: {
          container: 'wav',
          codec: float ? 'float' : layout.kind === 'alaw' || layout.kind === 'ulaw' ? layout.kind : 'pcm',
          lossless: layout.kind !== 'alaw' && layout.kind !== 'ulaw',
          sampleRate: fmt.sampleRate,
          channels: fmt.channels,
          bitDepth: fmt.bits || layout.containerBits,
          bitrate: frameBytes(layout) * 8 * fmt.sampleRate,
        },
        declaredDuration: frames / fmt.sampleRate,
        durationIsExact: true,
        decode: (run) => decodePcm(source, body, end, layout, run),
      };
    }
    // Chunks are padded to even lengths.
    position = body + size + (size & 1);
  }
  throw new DecodeFault('damaged', damaged(source.name));
};
