/**
 * What the worker does with each message, apart from the worker itself, so that it also runs under Node.
 */
import { type AnalysedTrack, type EarlyTrack, analyseTrack } from './analyse.ts';
import { buffersOf } from './buffers.ts';
import { CopyDesk } from './copy/desk.ts';
import { CopyFault } from './copy/types.ts';
import { openTrack } from './decode/open.ts';
import { noAudioTrack } from './decode/sentences.ts';
import { blobSource } from './decode/source.ts';
import { DecodeFault } from './decode/types.ts';
import { playableBlob } from './decode/wav-out.ts';
import { readExcerpt } from './excerpt.ts';
import { readPcm } from './pcm.ts';
import type {
  AnalyseRequest,
  ExcerptRequest,
  PcmRequest,
  FaultReply,
  PlayableRequest,
  PreviewRequest,
  WorkerReply,
  WorkerRequest,
} from './protocol.ts';
import { keepFinite } from './stages/finite.ts';
import { priorAround } from './stages/grid/index.ts';
import { type Preview, createPreviewStage } from './stages/preview.ts';
import type { Stage } from './stages/stage.ts';

/** Shortest time between two progress messages of one piece of work, ms. */
const PROGRESS_INTERVAL_MS = 100;

export type Post = (reply: WorkerReply, transfer: ArrayBuffer[]) => void;

/** The work in hand, by id. */
export class Desk {
  readonly #post: Post;
  readonly #running = new Map<string, AbortController>();
  readonly #copies: CopyDesk;

  constructor(post: Post) {
    this.#post = post;
    this.#copies = new CopyDesk(post);
  }

  /** Takes one message. The promise ends with the work that the message began, and is never rejected. */
  async handle(request: WorkerRequest): Promise<void> {
    if (request.type === 'cancel') this.#running.get(request.id)?.abort();
    else if (request.type === 'copy-more') this.#copies.more(request.id);
    else await this.#work(request);
  }

  async #work(request: Exclude<WorkerRequest, { type: 'cancel' | 'copy-more' }>): Promise<void> {
    const { id } = request;
    // The same id again replaces the work that had it.
    this.#running.get(id)?.abort();
    const abort = new AbortController();
    this.#running.set(id, abort);
    try {
      if (request.type === 'analyse') await this.#analyse(request, abort.signal);
      else if (request.type === 'playable') await this.#playable(request, abort.signal);
      else if (request.type === 'preview') await this.#preview(request, abort.signal);
      else if (request.type === 'copy') {
        await this.#copies.make(request, abort.signal, this.#throttledProgress(id));
      } else if (request.type === 'pcm') await this.#pcm(request, abort.signal);
      else await this.#excerpt(request, abort.signal);
    } catch (error) {
      if (abort.signal.aborted) this.#post({ type: 'cancelled', id }, []);
      else this.#post(faultReply(id, request.name, error), []);
    } finally {
      if (this.#running.get(id) === abort) this.#running.delete(id);
    }
  }

  async #analyse({ id, file, name, tempoAround }: AnalyseRequest, signal: AbortSignal): Promise<void> {
    let earlier = false;
    const done = await analyseTrack(blobSource(file, name), {
      signal,
      ...(tempoAround === undefined ? {} : { tempoPrior: priorAround(tempoAround) }),
      onProgress: this.#throttledProgress(id),
      onEarly: (early) => {
        this.#early(id, early, earlier);
        earlier = true;
      },
    });
    this.#send<AnalysedTrack & { type: 'done'; id: string }>({ type: 'done', id, ...done });
  }

  async #playable({ id, file, name }: PlayableRequest, signal: AbortSignal): Promise<void> {
    const options = { signal, onProgress: this.#throttledProgress(id) };
    const blob = await playableBlob(await openTrack(blobSource(file, name), options));
    this.#post({ type: 'playable', id, blob }, []);
  }

  async #preview({ id, file, name }: PreviewRequest, signal: AbortSignal): Promise<void> {
    const options = { signal, onProgress: this.#throttledProgress(id) };
    const track = await openTrack(blobSource(file, name), options);
    let stage: Stage<Preview> | null = null;
    for await (const block of track.blocks()) {
      signal.throwIfAborted();
      stage ??= createPreviewStage({ sampleRate: track.format.sampleRate, channels: block.length });
      keepFinite(block);
      stage.push(block);
    }
    if (!stage) throw new DecodeFault('empty', noAudioTrack(name));
    this.#send({ type: 'preview', id, preview: stage.finish() });
  }

  async #excerpt(request: ExcerptRequest, signal: AbortSignal): Promise<void> {
    const { id, file, name, startTime, seconds } = request;
    const options = { signal, onProgress: this.#throttledProgress(id) };
    const track = await openTrack(blobSource(file, name), options);
    this.#send({ type: 'excerpt', id, excerpt: await readExcerpt(track, name, startTime, seconds) });
  }

  async #pcm({ id, file, name, sampleRate }: PcmRequest, signal: AbortSignal): Promise<void> {
    const options = { signal, onProgress: this.#throttledProgress(id) };
    const track = await openTrack(blobSource(file, name), options);
    this.#send({ type: 'pcm', id, pcm: await readPcm(track, name, sampleRate, signal) });
  }

  /** The tags, with their cover, go with the first picture only. */
  #early(id: string, { tags, ...early }: EarlyTrack, earlier: boolean): void {
    const reply: WorkerReply = { type: 'early', id, ...early, ...(earlier ? {} : { tags }) };
    this.#post(reply, buffersOf(reply.pyramid));
  }

  #send<Reply extends WorkerReply>(reply: Reply): void {
    this.#post(reply, buffersOf(reply));
  }

  #throttledProgress(id: string): (share: number) => void {
    let last = -Infinity;
    return (share) => {
      const now = performance.now();
      if (now - last < PROGRESS_INTERVAL_MS) return;
      last = now;
      this.#post({ type: 'progress', id, share }, []);
    };
  }
}

function faultReply(id: string, name: string, error: unknown): FaultReply {
  if (error instanceof DecodeFault) return { type: 'fault', id, code: error.code, sentence: error.message };
  if (error instanceof CopyFault) return { type: 'fault', id, code: 'no-copy', sentence: error.message };
  const detail = error instanceof Error ? error.message : String(error);
  const sentence = `“${name}” could not be analysed because of an error in Boothproof (${detail}). Try it again, or try another copy of the file.`;
  return { type: 'fault', id, code: 'unexpected', sentence };
}
