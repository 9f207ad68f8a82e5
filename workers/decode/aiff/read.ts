/**
 * AIFF and AIFF-C. Specifications: "Audio Interchange File Format 1.3" (1989) and the AIFF-C draft (1991),
 * https://www.mmsp.ece.mcgill.ca/Documents/AudioFormats/AIFF/AIFF.html
 */
import { fourCc, u16be, u32be } from '../bytes.ts';
import { decodePcm } from '../pcm-reading.ts';
import { frameBytes, pcmSupported, type PcmLayout } from '../pcm.ts';
import type { OpenReading } from '../reading.ts';
import { damaged, unsupportedCodec } from '../sentences.ts';
import { DecodeFault } from '../types.ts';

/** More chunks than any writer makes: a damaged header must not be walked for minutes. */
const MOST_CHUNKS = 4096;
const COMM_BYTES = 22;
/** Offset and block size at the start of SSND. */
const SSND_HEAD = 8;

interface Comm {
  channels: number;
  frames: number;
  bits: number;
  sampleRate: number;
  compression: string;
}

/** IEEE 754 80-bit extended, big-endian, as AIFF stores its sample rate. */
function extended80(b: Uint8Array, o: number): number {
  const exponent = u16be(b, o) & 0x7fff;
  const mantissa = u32be(b, o + 2) * 2 ** 32 + u32be(b, o + 6);
  if (exponent === 0x7fff) return NaN;
  return mantissa * 2 ** (exponent - 16383 - 63) * (b[o] & 0x80 ? -1 : 1);
}

function parseComm(b: Uint8Array, isAifc: boolean): Comm | null {
  if (b.length < 18) return null;
  return {
    channels: u16be(b, 0),
    frames: u32be(b, 2),
    bits: u16be(b, 6),
    sampleRate: Math.round(extended80(b, 8)),
    compression: isAifc && b.length >= COMM_BYTES ? fourCc(b, 18) : 'NONE',
  };
}

const NAMES: Record<string, string> = {
  ima4: 'IMA 4:1 ADPCM',
  'GSM ': 'GSM 6.10',
  MAC3: 'MACE 3:1',
  MAC6: 'MACE 6:1',
  QDM2: 'QDesign Music',
};

function layoutOf(comm: Comm): PcmLayout | null {
  const bits = Math.ceil(comm.bits / 8) * 8;
  const layout = (containerBits: number, kind: PcmLayout['kind'], littleEndian = false): PcmLayout => ({
    channels: comm.channels,
    containerBits,
    kind,
    littleEndian,
  });
  switch (comm.compression) {
    case 'NONE':
    case 'twos':
      return layout(bits, 'int');
    case 'sowt':
      return layout(bits, 'int', true);
    case 'raw ':
      return layout(bits, bits === 8 ? 'unsigned' : 'int');
    case 'in24':
      return layout(24, 'int');
    case 'in32':
      return layout(32, 'int');
    case '42ni':
      return layout(24, 'int', true);
    case '23ni':
      return layout(32, 'int', true);
    case 'fl32':
    case 'FL32':
      return layout(32, 'float');
    case 'fl64':
    case 'FL64':
      return layout(64, 'float');
    case 'alaw':
    case 'ALAW':
      return layout(8, 'alaw');
    case 'ulaw':
    case 'ULAW':
      return layout(8, 'ulaw');
    default:
      return null;
  }
}

export const openAiff: OpenReading = async (source, start) => {
  const isAifc = fourCc(await source.read(start + 8, start + 12), 0) === 'AIFC';
  let comm: Comm | null = null;
  let sound: { start: number; end: number } | null = null;
  let position = start + 12;
  // SSND may stand before COMM.
  for (let chunk = 0; chunk < MOST_CHUNKS && !(comm && sound); chunk++) {
    const head = await source.read(position, position + 8);
    if (head.length < 8) break;
    const id = fourCc(head, 0);
    const size = u32be(head, 4);
    const body = position + 8;
    if (id === 'COMM') comm = parseComm(await source.read(body, body + Math.min(size, COMM_BYTES)), isAifc);
    else if (id === 'SSND') {
      const ssnd = await source.read(body, body + SSND_HEAD);
      if (ssnd.length === SSND_HEAD) {
        const from = body + SSND_HEAD + u32be(ssnd, 0);
        // A writer that lost power leaves 0: then the COMM chunk's count, or the file's end, decides.
        sound = { start: from, end: size > SSND_HEAD ? body + size : Infinity };
      }
    }
    position = body + size + (size & 1);
  }
  if (!comm || !sound) throw new DecodeFault('damaged', damaged(source.name));
  const layout = layoutOf(comm);
  if (!layout) {
    const codec = NAMES[comm.compression] ?? `AIFF-C type ${JSON.stringify(comm.compression)}`;
    throw new DecodeFault('unsupported-codec', unsupportedCodec(source.name, codec));
  }
  if (!pcmSupported(layout) || !(comm.sampleRate >= 1))
    throw new DecodeFault('damaged', damaged(source.name));
  const { start: from } = sound;
  const counted = comm.frames > 0 ? from + comm.frames * frameBytes(layout) : Infinity;
  const end = Math.min(sound.end, counted) === Infinity ? source.size : Math.min(sound.end, counted);
  return {
    format: {
      container: 'aiff',
      codec: layout.kind === 'float' ? 'float' : layout.kind.endsWith('law') ? layout.kind : 'pcm',
      lossless: !layout.kind.endsWith('law'),
      sampleRate: comm.sampleRate,
      channels: comm.channels,
      bitDepth: layout.kind === 'float' ? layout.containerBits : comm.bits,
      bitrate: frameBytes(layout) * 8 * comm.sampleRate,
    },
    declaredDuration: Math.max(0, Math.floor((end - from) / frameBytes(layout))) / comm.sampleRate,
    durationIsExact: true,
    decode: (run) => decodePcm(source, from, end, layout, run),
  };
};
