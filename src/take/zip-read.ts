/**
 * Reads a zip of stored files, for checking one. "APPNOTE.TXT - .ZIP File Format Specification", version 6.3.10,
 * https://pkware.cachefly.net/webdocs/casestudies/APPNOTE.TXT , sections 4.3 and 4.5.3 (Zip64).
 */
import { u16le, u32le, u64le } from '../../workers/decode/bytes.ts';
import { CheckFault } from './fault.ts';
import { bytesOfBlob } from './hashed.ts';

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
const END64 = 0x06064b50;
const LOCATOR64 = 0x07064b50;
const LOCAL_BYTES = 30;
const CENTRAL_BYTES = 46;
const END_BYTES = 22;
const LOCATOR_BYTES = 20;
const END64_BYTES = 56;
const STORED = 0;
const EXTRA_ZIP64 = 1;
/** Of a 32-bit field whose value stands in 64 bits elsewhere. */
const ELSEWHERE = 0xffffffff;

export interface ZipEntry {
  name: string;
  /** bytes */
  size: number;
  /** Of its local header. */
  start: number;
}

const bytesAt = async (blob: Blob, from: number, to: number) =>
  new Uint8Array(await blob.slice(from, to).arrayBuffer());

function expect(condition: boolean, what: string): void {
  if (!condition) throw new CheckFault(`the zip’s ${what} is damaged`);
}

/** Where the central directory stands. */
async function directoryOf(zip: Blob): Promise<{ from: number; to: number; count: number }> {
  // Ours has no comment, so the end record is the very end.
  const at = zip.size - END_BYTES;
  const end = await bytesAt(zip, Math.max(0, at), zip.size);
  expect(end.length === END_BYTES && u32le(end, 0) === END, 'end');
  const plain = { count: u16le(end, 10), length: u32le(end, 12), from: u32le(end, 16) };
  const isPlain = plain.count !== 0xffff && plain.length !== ELSEWHERE && plain.from !== ELSEWHERE;
  if (isPlain) return { from: plain.from, to: plain.from + plain.length, count: plain.count };
  const locator = await bytesAt(zip, at - LOCATOR_BYTES, at);
  expect(locator.length === LOCATOR_BYTES && u32le(locator, 0) === LOCATOR64, 'end');
  const at64 = u64le(locator, 8);
  const end64 = await bytesAt(zip, at64, at64 + END64_BYTES);
  expect(end64.length === END64_BYTES && u32le(end64, 0) === END64, 'end');
  const from = u64le(end64, 48);
  return { from, to: from + u64le(end64, 40), count: u64le(end64, 32) };
}

/** The files of the zip, in the order of its directory. @throws CheckFault when it is not whole */
export async function readZip(zip: Blob): Promise<ZipEntry[]> {
  const { from, to, count } = await directoryOf(zip);
  const b = await bytesAt(zip, from, to);
  expect(b.length === to - from, 'directory');
  const entries: ZipEntry[] = [];
  let o = 0;
  while (o + CENTRAL_BYTES <= b.length && u32le(b, o) === CENTRAL) {
    const nameEnd = o + CENTRAL_BYTES + u16le(b, o + 28);
    const extraEnd = nameEnd + u16le(b, o + 30);
    expect(extraEnd <= b.length && u16le(b, o + 10) === STORED, 'directory');
    const fields = [u32le(b, o + 24), u32le(b, o + 20), u32le(b, o + 42)];
    inZip64(b.subarray(nameEnd, extraEnd), fields);
    const [size, stored, start] = fields;
    expect(size === stored, 'directory');
    const name = new TextDecoder('utf-8', { fatal: true }).decode(b.subarray(o + CENTRAL_BYTES, nameEnd));
    entries.push({ name, size, start });
    o = extraEnd + u16le(b, o + 32);
  }
  expect(o === b.length && entries.length === count, 'directory');
  return entries;
}

/** Size, stored size and start, in that order, each only where the 32-bit field says that it stands here. */
function inZip64(extra: Uint8Array, fields: number[]): void {
  for (let o = 0; o + 4 <= extra.length; o += 4 + u16le(extra, o + 2)) {
    if (u16le(extra, o) !== EXTRA_ZIP64) continue;
    let p = o + 4;
    for (let i = 0; i < fields.length; i++) {
      if (fields[i] !== ELSEWHERE) continue;
      expect(p + 8 <= extra.length, 'directory');
      fields[i] = u64le(extra, p);
      p += 8;
    }
  }
}

/** What a stored file holds. */
export async function bytesOfEntry(
  zip: Blob,
  { start, size }: ZipEntry,
  signal?: AbortSignal,
): Promise<AsyncGenerator<Uint8Array, void, void>> {
  const head = await bytesAt(zip, start, start + LOCAL_BYTES);
  expect(head.length === LOCAL_BYTES && u32le(head, 0) === LOCAL, 'file header');
  const from = start + LOCAL_BYTES + u16le(head, 26) + u16le(head, 28);
  return bytesOfBlob(zip, from, from + size, signal);
}
