/** Small writers of fixed-size fields; their readers are in `workers/decode/bytes.ts`. */

const field = (length: number, put: (view: DataView) => void): Uint8Array<ArrayBuffer> => {
  const bytes = new Uint8Array(length);
  put(new DataView(bytes.buffer));
  return bytes;
};

export const le32 = (...values: number[]) =>
  field(4 * values.length, (view) => values.forEach((x, i) => view.setUint32(4 * i, x, true)));
export const be32 = (...values: number[]) =>
  field(4 * values.length, (view) => values.forEach((x, i) => view.setUint32(4 * i, x)));
export const be64 = (value: number) => be32(Math.floor(value / 2 ** 32), value % 2 ** 32);
export const le16 = (...values: number[]) =>
  field(2 * values.length, (view) => values.forEach((x, i) => view.setUint16(2 * i, x, true)));
export const le64 = (value: number) => le32(value % 2 ** 32, Math.floor(value / 2 ** 32));

/** Text of one byte a character. */
export const latin1 = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));
export const utf8 = (text: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(new TextEncoder().encode(text));

/** Bytes up to the first zero from `at` on, as UTF-8 where they are that, else as Windows western European. */
export function textUntilZero(b: Uint8Array, at: number): string {
  const zero = b.indexOf(0, at);
  return textOf(b.subarray(at, zero < 0 ? b.length : zero));
}

export function textOf(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}
