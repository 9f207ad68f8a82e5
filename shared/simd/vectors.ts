/** Running the small vector programs, and going without where there are no vector instructions. */

const PAGE_BYTES = 65_536;
export const VECTOR_BYTES = 16;
export const FLOAT_BYTES = Float32Array.BYTES_PER_ELEMENT;
/** 32-bit floats in a vector. */
export const LANES = VECTOR_BYTES / FLOAT_BYTES;

/** A program of `wasmModule` with its memory. */
export interface Vectors {
  run: (...parameters: number[]) => void;
  buffer: ArrayBuffer;
}

/**
 * Programs that have been compiled, by their bytes: the next track of the same kind needs not compile them again,
 * which costs a good part of what they save.
 */
const compiled = new Map<string, WebAssembly.Module>();

function moduleOf(program: Uint8Array<ArrayBuffer>): WebAssembly.Module {
  const key = String.fromCharCode(...program);
  let module = compiled.get(key);
  if (!module) compiled.set(key, (module = new WebAssembly.Module(program)));
  return module;
}

/** Thrown where programs cannot run. */
export class NoVectors extends Error {}

/**
 * Makes a program ready to run, with a memory of its own.
 * @throws NoVectors without WebAssembly, vector instructions or enough memory
 */
export function vectorsOf(program: Uint8Array<ArrayBuffer>): Vectors {
  try {
    const { exports } = new WebAssembly.Instance(moduleOf(program));
    return { run: exports.run as Vectors['run'], buffer: (exports.memory as WebAssembly.Memory).buffer };
  } catch (cause) {
    throw new NoVectors('vector programs do not run here', { cause });
  }
}

/** Pages of memory that hold `bytes`. */
export function pagesFor(bytes: number): number {
  return Math.ceil(bytes / PAGE_BYTES);
}

/** What `vector` makes, or `plain` where programs cannot run. */
export function vectorOrPlain<T>(vector: () => T, plain: () => T): T {
  try {
    return vector();
  } catch (error) {
    if (error instanceof NoVectors) return plain();
    throw error;
  }
}
