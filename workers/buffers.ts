/** Every buffer under the typed arrays in `value` (plain objects and lists), once each, to be transferred. */
export function buffersOf(value: unknown, found = new Set<ArrayBuffer>()): ArrayBuffer[] {
  if (ArrayBuffer.isView(value)) {
    if (value.buffer instanceof ArrayBuffer) found.add(value.buffer);
  } else if (Array.isArray(value)) {
    // Lists of numbers or words hold no buffers; looking at the first is enough in plain typed data.
    if (typeof value[0] === 'object') value.forEach((item) => buffersOf(item, found));
  } else if (
    typeof value === 'object' &&
    value !== null &&
    Object.getPrototypeOf(value) === Object.prototype
  ) {
    Object.values(value).forEach((item) => buffersOf(item, found));
  }
  return [...found];
}
