/**
 * Unsynchronisation: zero bytes put in so that a tag holds nothing that looks like the start of an audio frame.
 * ID3v2.4.0 structure, section 6.1, https://id3.org/id3v2.4.0-structure
 */

export function resynchronised(b: Uint8Array): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(b.length);
  let length = 0;
  for (let i = 0; i < b.length; i++) {
    out[length++] = b[i];
    if (b[i] === 0xff && b[i + 1] === 0) i++;
  }
  return out.slice(0, length);
}

export function unsynchronised(b: Uint8Array): Uint8Array<ArrayBuffer> {
  const out: number[] = [];
  for (let i = 0; i < b.length; i++) {
    out.push(b[i]);
    const next = b[i + 1];
    if (b[i] === 0xff && (next === undefined || next === 0 || next >= 0xe0)) out.push(0);
  }
  return Uint8Array.from(out);
}
