/** Printed pages as others see them: read by poppler's programs (pdfinfo, pdffonts, pdfimages, pdftotext, pdftoppm). */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

const run = (program: string, ...args: string[]) => execFileSync(program, args, { encoding: 'utf8' });

export interface PdfFacts {
  pages: number;
  /** mm */
  width: number;
  height: number;
  /** Pictures in points, not vectors. */
  images: number;
  /** Every font is in the file, so that it prints alike everywhere. */
  fontsEmbedded: boolean;
  /** By page, in the order of reading. */
  text: string[];
}

const MM_PER_POINT = 25.4 / 72;

export function pdfFacts(path: string): PdfFacts {
  const info = run('pdfinfo', path);
  const [, width, height] = /^Page size:\s+([\d.]+) x ([\d.]+) pts/m.exec(info)!;
  // Two lines of heading each.
  const fonts = run('pdffonts', path).trimEnd().split('\n').slice(2);
  return {
    pages: Number(/^Pages:\s+(\d+)/m.exec(info)![1]),
    width: Number(width) * MM_PER_POINT,
    height: Number(height) * MM_PER_POINT,
    images: run('pdfimages', '-list', path).trimEnd().split('\n').slice(2).length,
    // Columns from the right: object (two), uni, sub, emb.
    fontsEmbedded: fonts.length > 0 && fonts.every((line) => line.trim().split(/\s+/).at(-5) === 'yes'),
    text: run('pdftotext', '-enc', 'UTF-8', path, '-').split('\f').slice(0, -1),
  };
}

/** One page as points: 1 (grey) or 3 (red, green, blue) bytes each, rows from the top. */
export interface PageImage {
  width: number;
  height: number;
  channels: 1 | 3;
  data: Uint8Array;
}

/**
 * A page rendered.
 * @param dpi points to the inch
 */
export function pageImage(
  path: string,
  page: number,
  dpi: number,
  look: 'colour' | 'grey' | 'mono',
): PageImage {
  const out = join(dirname(path), `page-${page}-${look}`);
  const flag = look === 'colour' ? [] : look === 'grey' ? ['-gray'] : ['-mono'];
  run(
    'pdftoppm',
    '-r',
    String(dpi),
    '-f',
    String(page),
    '-l',
    String(page),
    '-singlefile',
    ...flag,
    path,
    out,
  );
  return readPnm(readFileSync(`${out}.${look === 'colour' ? 'ppm' : look === 'grey' ? 'pgm' : 'pbm'}`));
}

/** Netpbm's binary forms (https://netpbm.sourceforge.net/doc/pnm.html): P4 (1 is ink), P5, P6. */
function readPnm(bytes: Uint8Array): PageImage {
  const fields: string[] = [];
  let at = 0;
  const wanted = bytes[1] === 0x34 ? 3 : 4;
  while (fields.length < wanted) {
    let end = at;
    while (!/\s/.test(String.fromCharCode(bytes[end]))) end++;
    if (end > at) fields.push(Buffer.from(bytes.subarray(at, end)).toString('latin1'));
    at = end + 1;
  }
  const [width, height] = [Number(fields[1]), Number(fields[2])];
  const rest = bytes.subarray(at);
  if (fields[0] !== 'P4') return { width, height, channels: fields[0] === 'P5' ? 1 : 3, data: rest };
  const data = new Uint8Array(width * height);
  const row = Math.ceil(width / 8);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      data[y * width + x] = (rest[y * row + (x >> 3)] >> (7 - (x & 7))) & 1 ? 0 : 255;
    }
  }
  return { width, height, channels: 1, data };
}

export interface Ink {
  /** Outermost ink, shares of the page from its left and top edge; null: the page is blank. */
  box: { left: number; top: number; right: number; bottom: number } | null;
  /** Mean darkness, 0 (white) to 1. */
  mean: number;
  /** Largest difference between the colours of one point, 0..255: 0 where all is grey. */
  tint: number;
}

export function inkOf({ width, height, channels, data }: PageImage): Ink {
  const box = { left: width, top: height, right: 0, bottom: 0 };
  let sum = 0;
  let tint = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = (y * width + x) * channels;
      const [r, g, b] = channels === 1 ? [data[at], data[at], data[at]] : data.subarray(at, at + 3);
      const dark = 255 - (r + g + b) / 3;
      sum += dark;
      tint = Math.max(tint, Math.max(r, g, b) - Math.min(r, g, b));
      if (dark < 8) continue;
      box.left = Math.min(box.left, x);
      box.right = Math.max(box.right, x + 1);
      box.top = Math.min(box.top, y);
      box.bottom = Math.max(box.bottom, y + 1);
    }
  }
  const blank = box.right === 0;
  return {
    box: blank
      ? null
      : {
          left: box.left / width,
          top: box.top / height,
          right: box.right / width,
          bottom: box.bottom / height,
        },
    mean: sum / (width * height * 255),
    tint,
  };
}
