/** Invented tracks, a worker that the test drives, and a library on a database of its own. */
import { ANALYSIS_VERSION, type TrackAnalysis } from '../../shared/analysis.ts';
import type { TrackTags } from '../../shared/tags.ts';
import type { WorkerReply, WorkerRequest } from '../../workers/protocol.ts';
import type { AnalysisWorker } from '../../src/queue/worker.ts';
import { hashBlob } from '../../src/library/recognise.ts';
import { newTrack, type TrackRecord } from '../../src/library/records.ts';

let databases = 0;
/** A name that no other test has used. */
export const freshName = () => `test-${++databases}`;

export function analysis(bpm = 124, duration = 8): TrackAnalysis {
  const level = (length: number, hop: number) => ({
    hop,
    length,
    peak: Array.from({ length: 4 }, (_, layer) =>
      Float32Array.from({ length }, (_, i) => (i % 7) / (7 + layer)),
    ),
    rms: Array.from({ length: 4 }, (_, layer) =>
      Float32Array.from({ length }, (_, i) => (i % 5) / (9 + layer)),
    ),
  });
  return {
    version: ANALYSIS_VERSION,
    source: {
      container: 'wav',
      codec: 'pcm',
      lossless: true,
      sampleRate: 44100,
      channels: 2,
      bitDepth: 16,
      bitrate: null,
    },
    duration,
    peak: 0.9,
    silent: false,
    partial: null,
    pyramid: { duration, levels: [level(1600, 0.005), level(400, 0.02)] },
    grid: {
      kind: 'constant',
      segments: [{ startBeat: 0, startTime: 0.25, bpm }],
      beatsPerBar: 4,
      firstBeatInBar: 0,
      phraseOffsetBars: 0,
      endTime: duration,
      confidence: 0.9,
      downbeatConfidence: 0.8,
      regions: [],
    },
    sections: [],
    key: { name: 'A minor', confidence: 0.7 },
    loudness: { integratedDb: -9, shortTermMaxDb: -7, rangeDb: 5, truePeakDb: -0.4 },
  };
}

export function tags(title: string, cover: TrackTags['cover'] = null): TrackTags {
  return {
    title,
    artist: 'Marl Quay',
    album: null,
    genre: null,
    year: null,
    comment: null,
    key: null,
    bpm: null,
    isrc: null,
    cover,
  };
}

export function record(id: string, changes: Partial<TrackRecord> = {}): TrackRecord {
  const file = { id, name: `${id}.wav`, size: 1000, demo: null };
  return { ...newTrack(file, tags(`Title of ${id}`), analysis(), 1_000), ...changes };
}

/** A file whose content is `content`. */
export function file(name: string, content = name): File {
  return new File([content], name, { type: 'audio/wav' });
}

export function preview() {
  return { samples: new Float32Array(16), sampleRate: 11025, startTime: 0 };
}

/** What a worker would answer for a file. */
export async function doneReply(id: string, blob: Blob, name: string): Promise<WorkerReply> {
  return {
    type: 'done',
    id,
    hash: await hashBlob(blob),
    tags: tags(`Title of ${name}`, { mime: 'image/png', bytes: new Uint8Array([1, 2, 3]) }),
    analysis: analysis(),
    preview: preview(),
  };
}

/** A worker whose answers come from the test, or from `auto`. */
export class FakeWorker extends EventTarget implements AnalysisWorker {
  readonly requests: WorkerRequest[] = [];
  terminated = false;

  constructor(
    private readonly auto: ((request: WorkerRequest, worker: FakeWorker) => unknown) | null = null,
  ) {
    super();
  }

  postMessage(request: WorkerRequest): void {
    this.requests.push(request);
    void this.auto?.(request, this);
  }

  terminate(): void {
    this.terminated = true;
  }

  say(reply: WorkerReply): void {
    // Like a real one: what was sent before the end does not arrive after it.
    if (!this.terminated) this.dispatchEvent(new MessageEvent('message', { data: reply }));
  }

  crash(): void {
    this.dispatchEvent(new Event('error'));
  }

  // The queue's narrower listener types are those of a real worker.
  declare addEventListener: AnalysisWorker['addEventListener'] & EventTarget['addEventListener'];
  declare removeEventListener: AnalysisWorker['removeEventListener'] & EventTarget['removeEventListener'];
}

/** A worker that answers as the real one would for a good file. */
export function workingWorker(): FakeWorker {
  return new FakeWorker(async (request, worker) => {
    if (request.type === 'analyse') {
      worker.say({ type: 'progress', id: request.id, share: 0.5 });
      worker.say(await doneReply(request.id, request.file, request.name));
    } else if (request.type === 'playable') {
      worker.say({ type: 'playable', id: request.id, blob: new Blob(['RIFF'], { type: 'audio/wav' }) });
    } else worker.say({ type: 'cancelled', id: request.id });
  });
}

/** Waits until `condition` holds, without a clock: one turn of the event loop after the other. */
export async function until(condition: () => boolean | Promise<boolean>): Promise<void> {
  for (let turn = 0; !(await condition()); turn++) {
    if (turn > 5000) throw new Error('The condition never came true.');
    await new Promise((resolve) => setImmediate(resolve));
  }
}
