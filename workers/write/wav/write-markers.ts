import { isExact } from '../../../shared/exchange/exact.ts';
import { pointsOf, type Point } from '../../../shared/exchange/points.ts';
import { ExchangeFault } from '../../../shared/exchange/types.ts';
import { latin1, le16, le32, le64, utf8 } from '../fields.ts';
import { copyOf, joinBytes, partSize } from '../parts.ts';
import { replaced, tooLarge } from '../sentences.ts';
import type { Part, WriteMarkers } from '../types.ts';
import { cuePoints, isCueChunk, readChunks } from './chunks.ts';

const MOST = 0xffffffff;
/** Place of the 64-bit size of the form in the body of `ds64`. */
const DS64_FORM_SIZE = 0;

function chunk(id: string, ...body: Uint8Array[]): Uint8Array<ArrayBuffer> {
  const whole = joinBytes(body);
  return joinBytes([latin1(id), le32(whole.length), whole, new Uint8Array(whole.length & 1)]);
}

const ZERO = new Uint8Array(1);

/** `cue ` and `LIST adtl`, or nothing where there are no points. Ids count from 1 in the order of time. */
function cueChunks(points: readonly Point[]): Uint8Array<ArrayBuffer> {
  if (points.length === 0) return new Uint8Array(0);
  const cues = points.map(({ at }, i) => joinBytes([le32(i + 1, at), latin1('data'), le32(0, 0, at)]));
  // All labels first: some readers stop at the first entry of another kind.
  const texts = [
    ...points.map(({ title }, i) => chunk('labl', le32(i + 1), utf8(title), ZERO)),
    ...points.map(({ exact }, i) => chunk('note', le32(i + 1), utf8(exact), ZERO)),
    ...points.flatMap(({ at, end }, i) =>
      end === null ? [] : [chunk('ltxt', le32(i + 1, end - at), latin1('rgn '), le16(0, 0, 0, 0))],
    ),
  ];
  return joinBytes([chunk('cue ', le32(points.length), ...cues), chunk('LIST', latin1('adtl'), ...texts)]);
}

/** The copy has `cue ` and `LIST adtl` behind the audio; every other chunk stays as it is. */
export const writeMarkers: WriteMarkers = async (source, start, markers, context) => {
  const file = await readChunks(source, start);
  const points = pointsOf(markers, file.sampleRate, context);
  if (points.some((p) => p.at > MOST || (p.end ?? 0) > MOST)) {
    throw new ExchangeFault(tooLarge(source.name, 'its cue points, which count in 32 bits'));
  }
  const others = (await cuePoints(source, file)).filter((p) => !isExact(p.note)).length;
  const notes = others > 0 ? [replaced(source.name, `${others} cue points`)] : [];

  const body: Part[] = [{ from: start + 8, to: start + 12 }];
  for (const c of file.chunks) {
    if (isCueChunk(c)) continue;
    body.push({ from: c.start, to: c.next });
    // A writer may have left out the padding byte at the very end.
    if (c.next === c.end && (c.end - c.body) % 2 === 1) body.push(ZERO.slice());
    if (c === file.data) body.push(cueChunks(points));
  }
  const size = body.reduce((n, p) => n + partSize(p), 0);
  if (!file.long && size > MOST) {
    throw new ExchangeFault(tooLarge(source.name, 'a WAV file (4 GB)'));
  }
  const head = file.long ? le32(MOST) : le32(size);
  const parts: Part[] = [{ from: 0, to: start + 4 }, head];
  for (const part of body) {
    const ds64 = file.chunks.find((c) => c.id === 'ds64');
    if (ds64 && file.long && !(part instanceof Uint8Array) && part.from === ds64.start) {
      parts.push({ from: part.from, to: ds64.body + DS64_FORM_SIZE }, le64(size));
      parts.push({ from: ds64.body + DS64_FORM_SIZE + 8, to: part.to });
    } else parts.push(part);
  }
  // What stands behind the form (a tag of another kind, for instance) stays behind it.
  parts.push({ from: file.end, to: source.size });
  return copyOf(parts, notes);
};
