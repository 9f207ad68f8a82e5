/** Reads the packets of a track, in batches, through one moving window of the file. */
import type { Run } from '../reading.ts';
import type { ByteSource } from '../types.ts';
import type { Packets } from './sample-table.ts';

/** bytes per read */
const CHUNK = 512 * 1024;
const BATCH = 64;
/** No packet of audio is longer; a larger size is damage. */
const LONGEST_PACKET = 8 * 1024 * 1024;

export async function* readPackets(
  source: ByteSource,
  { offsets, sizes }: Packets,
  run: Run,
): AsyncGenerator<Uint8Array[], void, void> {
  let bytes = new Uint8Array(0);
  let base = 0;
  let batch: Uint8Array[] = [];
  for (let i = 0; i < offsets.length; i++) {
    const offset = offsets[i];
    const size = sizes[i];
    if (offset + size > source.size) {
      run.truncated();
      break;
    }
    if (size === 0) continue;
    if (size > LONGEST_PACKET) {
      run.damaged();
      continue;
    }
    if (offset < base || offset + size > base + bytes.length) {
      bytes = (await source.read(offset, offset + Math.max(CHUNK, size))) as Uint8Array<ArrayBuffer>;
      base = offset;
      if (bytes.length < size) {
        run.truncated();
        break;
      }
    }
    batch.push(bytes.subarray(offset - base, offset - base + size));
    if (batch.length === BATCH) {
      yield batch;
      run.at(offset + size);
      batch = [];
    }
  }
  if (batch.length > 0) yield batch;
}
