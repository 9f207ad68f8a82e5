/** Damage as it happens to files, from a seed: the same seed makes the same damage on every machine. */
import { seeded } from '../fixtures/signal.ts';

type Random = () => number;

const below = (random: Random, n: number) => Math.floor(random() * n);

/** Numbers that sizes and counts in headers break on. */
const EDGES = [0, 1, 2, 7, 0x7f, 0x80, 0xff, 0x7fff, 0xffff, 0x7fffffff, 0x80000000, 0xfffffffe, 0xffffffff];

type Damage = (bytes: Uint8Array, random: Random, other: Uint8Array) => Uint8Array;

/** A place, more often near the start, where headers stand. */
const place = (bytes: Uint8Array, random: Random) =>
  below(random, random() < 0.5 ? Math.min(400, bytes.length) : bytes.length);

const flipBits: Damage = (bytes, random) => {
  const out = bytes.slice();
  for (let k = 1 + below(random, 16); k > 0; k--) out[place(out, random)] ^= 1 << below(random, 8);
  return out;
};

const randomBytes: Damage = (bytes, random) => {
  const out = bytes.slice();
  for (let k = 1 + below(random, 20); k > 0; k--) out[place(out, random)] = below(random, 256);
  return out;
};

const edgeNumber: Damage = (bytes, random) => {
  const out = bytes.slice();
  if (out.length < 4) return out;
  const size = [1, 2, 4][below(random, 3)];
  const at = Math.max(0, Math.min(out.length - size, place(out, random)));
  const value = EDGES[below(random, EDGES.length)];
  const view = new DataView(out.buffer);
  if (size === 1) view.setUint8(at, value & 0xff);
  else if (size === 2) view.setUint16(at, value & 0xffff, random() < 0.5);
  else view.setUint32(at, value >>> 0, random() < 0.5);
  return out;
};

const cut: Damage = (bytes, random) => bytes.slice(0, below(random, bytes.length));

const startMissing: Damage = (bytes, random) => bytes.slice(place(bytes, random));

const hole: Damage = (bytes, random) => {
  const out = bytes.slice();
  const at = place(out, random);
  out.fill(random() < 0.5 ? 0 : below(random, 256), at, at + 1 + below(random, 2000));
  return out;
};

function spliced(bytes: Uint8Array, at: number, drop: number, piece: Uint8Array): Uint8Array {
  const out = new Uint8Array(at + piece.length + Math.max(0, bytes.length - at - drop));
  out.set(bytes.subarray(0, at));
  out.set(piece, at);
  out.set(bytes.subarray(at + drop), at + piece.length);
  return out;
}

const piece = (bytes: Uint8Array, random: Random) => {
  const from = place(bytes, random);
  return bytes.subarray(from, from + 1 + below(random, 3000));
};

const removed: Damage = (bytes, random) =>
  spliced(bytes, place(bytes, random), 1 + below(random, 600), new Uint8Array(0));

const repeated: Damage = (bytes, random) => spliced(bytes, place(bytes, random), 0, piece(bytes, random));

const mixed: Damage = (bytes, random, other) => spliced(bytes, place(bytes, random), 0, piece(other, random));

const DAMAGES: readonly Damage[] = [
  flipBits,
  randomBytes,
  edgeNumber,
  edgeNumber,
  cut,
  startMissing,
  hole,
  removed,
  repeated,
  mixed,
];

/**
 * @param bytes a sound file
 * @param other another one, of which a piece may get in
 * @returns damaged in one to three ways
 */
export function mutateBytes(bytes: Uint8Array, other: Uint8Array, seed: number): Uint8Array {
  const random = seeded(seed);
  let out = bytes;
  for (let k = 1 + below(random, 3); k > 0; k--) {
    out = DAMAGES[below(random, DAMAGES.length)](out, random, other);
    if (out.length === 0) break;
  }
  return out;
}

const VALUES: readonly unknown[] = [
  null,
  true,
  0,
  -1,
  1e308,
  -1e308,
  0.1,
  2 ** 53,
  '',
  'NaN',
  '__proto__',
  '\u202e\u0000\ud800',
  'x'.repeat(5000),
  [],
  {},
  [[[[[[]]]]]],
  { __proto__: null, length: 5 },
];

/** Every place in a JSON value: its holder and key. */
function places(value: unknown, out: [holder: Record<string, unknown>, key: string][] = []) {
  if (typeof value !== 'object' || value === null) return out;
  for (const key of Object.keys(value)) {
    out.push([value as Record<string, unknown>, key]);
    places((value as Record<string, unknown>)[key], out);
  }
  return out;
}

/** A JSON text with one to four values changed, missing, doubled or moved; still JSON. */
export function mutateJson(text: string, seed: number): string {
  const random = seeded(seed);
  const value: unknown = JSON.parse(text);
  for (let k = 1 + below(random, 4); k > 0; k--) {
    const all = places(value);
    if (!all.length) break;
    const [holder, key] = all[below(random, all.length)];
    const what = random();
    if (what < 0.5) holder[key] = structuredClone(VALUES[below(random, VALUES.length)]);
    else if (what < 0.65) delete holder[key];
    else if (what < 0.8) holder[`${key}${below(random, 3)}`] = structuredClone(holder[key]);
    else {
      const [from, name] = all[below(random, all.length)];
      // A value cannot be put inside itself and still be JSON.
      holder[key] = structuredClone(from[name]);
    }
  }
  return JSON.stringify(value);
}
