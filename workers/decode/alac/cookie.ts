/**
 * The ALAC magic cookie. Published by the codec's owner under the Apache licence:
 * https://github.com/macosforge/alac/blob/master/ALACMagicCookieDescription.txt
 */
import { u16be, u32be } from '../bytes.ts';

export interface AlacCookie {
  /** Samples per channel in a full packet. */
  frameLength: number;
  bitDepth: number;
  /** Tuning of the adaptive Golomb coder. */
  pb: number;
  mb: number;
  kb: number;
  channels: number;
  maxRun: number;
  sampleRate: number;
}

const COOKIE_BYTES = 24;
const MOST_FRAME_LENGTH = 1 << 16;

/** Parses the cookie, or null when it makes no sense. */
export function parseCookie(b: Uint8Array): AlacCookie | null {
  if (b.length < COOKIE_BYTES) return null;
  const cookie: AlacCookie = {
    frameLength: u32be(b, 0),
    bitDepth: b[5],
    pb: b[6],
    mb: b[7],
    kb: b[8],
    channels: b[9],
    maxRun: u16be(b, 10),
    sampleRate: u32be(b, 20),
  };
  const sane =
    cookie.frameLength > 0 &&
    cookie.frameLength <= MOST_FRAME_LENGTH &&
    [16, 20, 24, 32].includes(cookie.bitDepth) &&
    cookie.channels >= 1 &&
    cookie.channels <= 8 &&
    cookie.sampleRate > 0 &&
    cookie.kb <= 24;
  return sane ? cookie : null;
}

/** Order of stored channels turned into that of WAV: entry i is the stored channel to take (same document, channel layout tags). */
export const ALAC_ORDER: Record<number, number[]> = {
  1: [0],
  2: [0, 1],
  3: [1, 2, 0],
  4: [1, 2, 0, 3],
  5: [1, 2, 0, 3, 4],
  6: [1, 2, 0, 5, 3, 4],
  7: [1, 2, 0, 6, 3, 4, 5],
  8: [3, 4, 0, 7, 5, 6, 1, 2],
};
