/**
 * The frame that encoders put in front with the stream's length. Common practice with public descriptions:
 * "Mp3 Info Tag rev 1" http://gabriel.mp3-tech.org/mp3infotag.html (Xing/Info and the LAME extension), VBRI likewise.
 */
import { textAt, u16be, u32be } from '../bytes.ts';
import { sideInfoLength, type FrameHeader } from './header.ts';

export interface InfoFrame {
  /** Frames of audio, without this one; null when not stated. */
  frames: number | null;
  /** Samples that the encoder put in front and behind; null when not stated. */
  delay: number | null;
  padding: number | null;
}

const HAS_FRAMES = 1;
const HAS_BYTES = 2;
const HAS_TOC = 4;
const HAS_QUALITY = 8;
const TOC_BYTES = 100;
/** Offset of the delays in the LAME extension. */
const LAME_DELAYS = 21;
const VBRI_OFFSET = 36;

/** Reads the info frame in `frame` (one whole frame of layer 3), or null when it is an ordinary frame. */
export function parseInfoFrame(frame: Uint8Array, header: FrameHeader): InfoFrame | null {
  if (header.layer !== 3) return null;
  if (textAt(frame, VBRI_OFFSET, 'VBRI') && frame.length >= VBRI_OFFSET + 18)
    return { frames: u32be(frame, VBRI_OFFSET + 14), delay: null, padding: null };
  const tag = 4 + sideInfoLength(header);
  if (!textAt(frame, tag, 'Xing') && !textAt(frame, tag, 'Info')) return null;
  const flags = u32be(frame, tag + 4);
  let p = tag + 8;
  let frames: number | null = null;
  if (flags & HAS_FRAMES) {
    frames = u32be(frame, p) || null;
    p += 4;
  }
  if (flags & HAS_BYTES) p += 4;
  if (flags & HAS_TOC) p += TOC_BYTES;
  if (flags & HAS_QUALITY) p += 4;
  let delay: number | null = null;
  let padding: number | null = null;
  const named = textAt(frame, p, 'LAME') || textAt(frame, p, 'Lavf') || textAt(frame, p, 'Lavc');
  if (named && p + LAME_DELAYS + 3 <= frame.length) {
    delay = u16be(frame, p + LAME_DELAYS) >> 4;
    padding = u16be(frame, p + LAME_DELAYS + 1) & 0xfff;
  }
  return { frames, delay, padding };
}
