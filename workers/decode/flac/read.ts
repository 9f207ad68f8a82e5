/** Native FLAC. RFC 9639, https://www.rfc-editor.org/rfc/rfc9639 */
import type { OpenReading, Run } from '../reading.ts';
import { damaged } from '../sentences.ts';
import { DecodeFault, type Block, type ByteSource } from '../types.ts';
import { ByteWindow } from '../window.ts';
import { FlacDecoder, mostBytes, samplesToFill, silence } from './decoder.ts';
import { LONGEST_HEADER, parseFrameHeader, parseStreamInfo, type StreamInfo } from './header.ts';

const STREAMINFO = 0;
const MOST_METADATA_BLOCKS = 1024;

interface Opened {
  info: StreamInfo;
  audioStart: number;
}

async function readMetadata(source: ByteSource, start: number): Promise<Opened> {
  let position = start + 4;
  let info: StreamInfo | null = null;
  for (let i = 0; i < MOST_METADATA_BLOCKS; i++) {
    const head = await source.read(position, position + 4);
    if (head.length < 4) break;
    const type = head[0] & 127;
    const length = (head[1] << 16) | (head[2] << 8) | head[3];
    if (type === STREAMINFO) info ??= parseStreamInfo(await source.read(position + 4, position + 4 + length));
    position += 4 + length;
    if (head[0] & 128) break;
  }
  if (!info) throw new DecodeFault('damaged', damaged(source.name));
  return { info, audioStart: Math.min(position, source.size) };
}

async function* decodeStream(
  source: ByteSource,
  { info, audioStart }: Opened,
  run: Run,
): AsyncGenerator<Block, void, void> {
  const decoder = new FlacDecoder(info);
  const window = new ByteWindow(source, audioStart);
  let written = 0;
  let lost = false;
  let short = false;
  for (;;) {
    await window.fill(LONGEST_HEADER);
    if (window.available === 0) break;
    const header = parseFrameHeader(window.bytes, window.at, info);
    if (header) await window.fill(mostBytes(header, info));
    const result = header ? decoder.frame(window.bytes, window.at) : { kind: 'bad' as const };
    if (result.kind !== 'frame') {
      lost = true;
      short ||= result.kind === 'short';
      const next = window.bytes.indexOf(0xff, window.at + 1);
      window.skip(next < 0 ? window.available : next - window.at);
      run.at(window.position);
      // Junk is searched without a block to hand out; this lets a cancel through.
      yield [];
      continue;
    }
    // Bytes that no frame follows are tags or a cut frame, not damage.
    if (lost) run.damaged();
    lost = short = false;
    const fill = samplesToFill(result.header, written, info);
    if (fill > 0) yield silence(info.channels, fill);
    written += fill + result.header.blockSize;
    window.skip(result.length);
    run.at(window.position);
    yield result.block;
    if (info.totalSamples > 0 && written >= info.totalSamples) break;
  }
  if (short || written < info.totalSamples) run.truncated();
}

export const openFlac: OpenReading = async (source, start) => {
  const opened = await readMetadata(source, start);
  const { info, audioStart } = opened;
  const duration = info.totalSamples > 0 ? info.totalSamples / info.sampleRate : null;
  return {
    format: {
      container: 'flac',
      codec: 'flac',
      lossless: true,
      sampleRate: info.sampleRate,
      channels: info.channels,
      bitDepth: info.bits,
      bitrate: duration ? Math.round(((source.size - audioStart) * 8) / duration) : null,
    },
    declaredDuration: duration,
    durationIsExact: duration !== null,
    decode: (run) => decodeStream(source, opened, run),
  };
};
