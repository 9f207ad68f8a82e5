import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hashingSource, WHOLE_BYTES } from '../../workers/hashing-source.ts';
import { watchedSource } from './wave.ts';

/** SHA-256 by Node's OpenSSL, the outside reference (FIPS 180-4). */
const reference = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');

describe.each([
  ['the platform’s hash', WHOLE_BYTES],
  ['a hash in parts', 0],
])('hashing source with %s', (_, whole) => {
  it('hashes the whole file whatever was read, in whatever order', async () => {
    const bytes = Uint8Array.from({ length: 5000 }, (_, i) => (i * i) % 251);
    const expected = reference(bytes);
    const reads = fc.array(fc.tuple(fc.nat({ max: 5200 }), fc.nat({ max: 2000 })), { maxLength: 20 });
    await fc.assert(
      fc.asyncProperty(reads, fc.boolean(), async (ranges, together) => {
        const source = await hashingSource(watchedSource(bytes, 'x'), whole);
        const read = async ([start, length]: [number, number]) => {
          expect(await source.read(start, start + length)).toEqual(bytes.slice(start, start + length));
        };
        if (together) await Promise.all(ranges.map(read));
        else for (const range of ranges) await read(range);
        expect(await source.digest()).toBe(expected);
      }),
      { seed: 8, numRuns: 200 },
    );
  });

  it('reads nothing again when the file was read in order', async () => {
    const bytes = new Uint8Array(3_000_000).fill(7);
    const watched = watchedSource(bytes, 'x');
    const source = await hashingSource(watched, whole);
    for (let at = 0; at < bytes.length; at += 65_536) await source.read(at, at + 65_536);
    const before = watched.reads.length;
    expect(await source.digest()).toBe(reference(bytes));
    expect(watched.reads.length).toBe(before);
  });

  it('an empty file has the hash of nothing (FIPS 180-4 example)', async () => {
    const source = await hashingSource(watchedSource(new Uint8Array(), 'x'), whole);
    expect(await source.digest()).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
  });

  it('leaves out what a file has grown by meanwhile', async () => {
    const source = await hashingSource({ ...watchedSource(new Uint8Array(30), 'x'), size: 20 }, whole);
    await source.read(5, 30);
    await source.read(0, 30);
    expect(await source.digest()).toBe(reference(new Uint8Array(20)));
  });

  it('comes to an end when the file has become shorter meanwhile', async () => {
    const watched = watchedSource(new Uint8Array(10), 'x');
    const source = await hashingSource({ ...watched, size: 20 }, whole);
    expect(await source.digest()).toBe(reference(new Uint8Array(10)));
  });
});
