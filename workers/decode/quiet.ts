/** Runs WebAssembly decoders that write their complaints to the console. */

/** Complaints after which a decoder is taken to be going round in circles. */
const MOST_COMPLAINTS = 64;

class TooManyComplaints extends Error {}

/**
 * Calls a synchronous decoder with `console.error` and its kin counted instead of printed. The mpg123 package asks
 * again and again after a lasting error; throwing out of its complaint is the only way to stop it.
 * @returns what the decoder gave (null when it threw) and the number of complaints
 */
export function quietly<T>(decode: () => T): { result: T | null; complaints: number } {
  const { error, warn, log } = console;
  let complaints = 0;
  const count = () => {
    if (++complaints > MOST_COMPLAINTS) throw new TooManyComplaints();
  };
  console.error = console.warn = console.log = count;
  try {
    return { result: decode(), complaints };
  } catch {
    return { result: null, complaints: complaints + 1 };
  } finally {
    Object.assign(console, { error, warn, log });
  }
}
