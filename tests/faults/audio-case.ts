/** One damaged sound file through every door by which the app takes one: analysis, markers in and out, copy. */
import { ExchangeFault } from '../../shared/exchange/types.ts';
import { blobSource } from '../../workers/decode/source.ts';
import { DecodeFault } from '../../workers/decode/types.ts';
import { Desk } from '../../workers/desk.ts';
import type { CopyReply, DoneReply, FaultReply, WorkerReply, WorkerRequest } from '../../workers/protocol.ts';
import { readMarkers, writeMarkersCopy } from '../../workers/write/copy.ts';
import { bytesOfCopy } from '../../workers/write/parts.ts';
import { MARKERS, type Sample, SECONDS } from './corpus.ts';
import { mutateBytes } from './mutate.ts';
import { badSentence } from './sentence.ts';

export interface AudioOutcome {
  seed: number;
  file: string;
  /** What the analysis made of it. */
  analysis: 'done' | 'fault';
  /** Everything that should not be; empty when all is as it should be. */
  wrong: string[];
}

type End = DoneReply | FaultReply | CopyReply;

/** Sends one request as the page does and waits for its end; a copy's bytes are asked for one by one. */
async function ask(request: Extract<WorkerRequest, { type: 'analyse' | 'copy' }>): Promise<End | null> {
  let end: End | null = null;
  const desk: Desk = new Desk((reply: WorkerReply) => {
    if (reply.type === 'done' || reply.type === 'fault' || reply.type === 'copy') end = reply;
    if (reply.type === 'copy-planned' || reply.type === 'copy-bytes')
      void desk.handle({ type: 'copy-more', id: request.id });
  });
  await desk.handle(request);
  return end;
}

/** Where a number in plain data is not finite, or null. Levels in dB may be -Infinity: silence. */
function notFinite(value: unknown, path = ''): string | null {
  if (typeof value === 'number')
    return Number.isFinite(value) || (value === -Infinity && /Db$/.test(path)) ? null : `${path} is ${value}`;
  if (value instanceof Float32Array || value instanceof Float64Array) {
    const at = value.findIndex((x) => !Number.isFinite(x));
    return at < 0 ? null : `${path}[${at}] is ${value[at]}`;
  }
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return null;
  for (const [key, item] of Object.entries(value)) {
    const fault = notFinite(item, path ? `${path}.${key}` : key);
    if (fault) return fault;
  }
  return null;
}

/** @param samples of `corpus`; the seed says which of them is damaged, and how */
export async function runAudioCase(samples: readonly Sample[], seed: number): Promise<AudioOutcome> {
  const sample = samples[seed % samples.length];
  const other = samples[(seed * 7 + 3) % samples.length];
  // The damaged file under its own name, now and then under another's.
  const name = seed % 11 === 0 ? other.name : sample.name;
  const bytes = mutateBytes(sample.bytes, other.bytes, seed);
  const file = new Blob([new Uint8Array(bytes)]);
  const wrong: string[] = [];
  const note = (what: string, fault: string | null) => {
    if (fault) wrong.push(`${what}: ${fault}`);
  };

  const end = await ask({ type: 'analyse', id: 'a', file, name });
  if (end?.type === 'fault') {
    if (end.code === 'unexpected') wrong.push(`analysis: ${end.sentence}`);
    note('analysis', badSentence(end.sentence, name));
  } else if (end?.type === 'done') {
    note('analysis', notFinite(end.analysis));
    if (!(end.analysis.duration > 0)) wrong.push('analysis: no duration');
    if (end.analysis.partial) note('partial', badSentence(end.analysis.partial.sentence, name));
  } else wrong.push('analysis: no answer');

  const context = { fileName: name, duration: SECONDS, title: 'Slow Lamp', artist: null, audioName: name };
  try {
    await readMarkers(blobSource(file, name), context);
    const copy = await writeMarkersCopy(blobSource(file, name), MARKERS, context);
    for await (const piece of bytesOfCopy(blobSource(file, name), copy)) if (!piece) break;
  } catch (error) {
    if (error instanceof DecodeFault || error instanceof ExchangeFault)
      note('markers', badSentence(error.message, name));
    else wrong.push(`markers: ${error instanceof Error ? error.stack : String(error)}`);
  }

  if (seed % 3 === 0) {
    const wish = { container: seed % 2 ? 'wav' : 'aiff', depth: 16, rate: 44100 } as const;
    const copied = await ask({ type: 'copy', id: 'c', file, name, wish, markers: MARKERS });
    if (copied?.type === 'fault') {
      if (copied.code === 'unexpected') wrong.push(`copy: ${copied.sentence}`);
      note('copy', badSentence(copied.sentence, name));
    } else if (copied?.type !== 'copy') wrong.push('copy: no answer');
  }
  return { seed, file: sample.name, analysis: end?.type === 'done' ? 'done' : 'fault', wrong };
}
