/**
 * Frees an array's memory at once where the engine can (ES2024 `ArrayBuffer.prototype.transfer`); elsewhere the
 * collector does it later. Only for whoever is the last to hold it: every view of the same memory is empty afterwards.
 */
export function release(array: ArrayBufferView): void {
  const buffer = array.buffer as ArrayBufferLike & {
    transfer?: (length: number) => unknown;
    detached?: boolean;
  };
  if (buffer instanceof ArrayBuffer && !buffer.detached) buffer.transfer?.(0);
}
