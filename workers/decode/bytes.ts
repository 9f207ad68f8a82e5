/** Small readers of fixed-size fields. */

/** Four bytes as text (chunk and box types). */
export const fourCc = (b: Uint8Array, o: number) => String.fromCharCode(b[o], b[o + 1], b[o + 2], b[o + 3]);

/** Whether `text` (Latin-1) stands at offset `o`. */
export function textAt(b: Uint8Array, o: number, text: string): boolean {
  if (o < 0 || o + text.length > b.length) return false;
  for (let i = 0; i < text.length; i++) if (b[o + i] !== text.charCodeAt(i)) return false;
  return true;
}

export const view = (b: Uint8Array) => new DataView(b.buffer, b.byteOffset, b.byteLength);
export const u16be = (b: Uint8Array, o: number) => (b[o] << 8) | b[o + 1];
export const u32be = (b: Uint8Array, o: number) =>
  ((b[o] << 24) | (b[o + 1] << 16) | (b[o + 2] << 8) | b[o + 3]) >>> 0;
export const u16le = (b: Uint8Array, o: number) => b[o] | (b[o + 1] << 8);
export const u32le = (b: Uint8Array, o: number) =>
  (b[o] | (b[o + 1] << 8) | (b[o + 2] << 16) | (b[o + 3] << 24)) >>> 0;
/** 64 bits as a number; exact up to 2^53, which no file reaches. */
export const u64be = (b: Uint8Array, o: number) => u32be(b, o) * 2 ** 32 + u32be(b, o + 4);
export const u64le = (b: Uint8Array, o: number) => u32le(b, o + 4) * 2 ** 32 + u32le(b, o);
