import { describe, expect, it } from 'vitest';
import { mainTempo } from '../../shared/grid/grid.ts';
import { Desk } from '../../workers/desk.ts';
import type { WorkerReply } from '../../workers/protocol.ts';
import { BPM, TITLE, patternWav } from './wave.ts';

const wav = patternWav(30);
const loop = new Blob([wav]);

/** A desk whose replies go through structured clone with their transfer list, as those of a worker do. */
function testDesk() {
  const replies: WorkerReply[] = [];
  let onReply: (reply: WorkerReply) => void = () => {};
  const desk = new Desk((reply, transfer) => {
    const received = structuredClone(reply, { transfer });
    replies.push(received);
    onReply(received);
  });
  const of = <T extends WorkerReply['type']>(type: T) =>
    replies.filter((reply): reply is Extract<WorkerReply, { type: T }> => reply.type === type);
  return { desk, replies, of, watch: (watcher: typeof onReply) => (onReply = watcher) };
}

describe('the worker’s desk', () => {
  it('analyses a file: progress, early pictures, then the whole', async () => {
    const { desk, replies, of } = testDesk();
    await desk.handle({ type: 'analyse', id: 'a', file: loop, name: 'loop.wav' });
    expect(replies.every((reply) => reply.id === 'a')).toBe(true);
    expect(replies[replies.length - 1].type).toBe('done');
    const [done] = of('done');
    expect(done.tags.title).toBe(TITLE);
    expect(done.hash).toMatch(/^[0-9a-f]{64}$/);
    expect(done.preview.samples.length).toBeGreaterThan(0);
    expect(done.analysis.pyramid.levels[0].peak[3].length).toBeGreaterThan(0);
    const early = of('early');
    expect(early.length).toBeGreaterThan(2);
    expect(early.map((reply) => reply.tags?.title)).toEqual([TITLE, ...early.slice(1).map(() => undefined)]);
    const shares = of('progress').map((reply) => reply.share);
    expect(shares.length).toBeGreaterThan(0);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
  });

  it('analyses again with the tempo of which the person says what it is about', async () => {
    const { desk, of } = testDesk();
    const tempi: (number | null)[] = [];
    for (const tempoAround of [undefined, 2 * BPM - 6, BPM / 2 + 2]) {
      await desk.handle({
        type: 'analyse',
        id: `a${tempoAround}`,
        file: loop,
        name: 'loop.wav',
        tempoAround,
      });
      tempi.push(mainTempo(of('done').at(-1)!.analysis.grid));
    }
    expect(tempi[0]).toBeCloseTo(BPM, 1);
    expect(tempi[1]).toBeCloseTo(2 * BPM, 1);
    expect(tempi[2]).toBeCloseTo(BPM / 2, 1);
    await desk.handle({ type: 'analyse', id: 'b', file: loop, name: 'loop.wav', tempoAround: 0 });
    expect(of('fault')[0].sentence).toContain('beats per minute');
  });

  it('moves every array to the page instead of copying it', async () => {
    const sent: { reply: WorkerReply; transfer: ArrayBuffer[] }[] = [];
    const desk = new Desk((reply, transfer) => sent.push({ reply, transfer }));
    await desk.handle({ type: 'analyse', id: 'a', file: loop, name: 'loop.wav' });
    for (const { reply, transfer } of sent) {
      if (reply.type !== 'done' && reply.type !== 'early') continue;
      const pyramid = reply.type === 'done' ? reply.analysis.pyramid : reply.pyramid;
      const arrays = pyramid.levels.flatMap((level) => [...level.peak, ...level.rms]);
      if (reply.type === 'done') arrays.push(reply.preview.samples);
      expect(new Set(transfer)).toEqual(new Set(arrays.map((array) => array.buffer)));
      expect(new Set(transfer).size).toBe(transfer.length);
    }
  });

  it('makes the preview alone, the same as with the whole analysis', async () => {
    const { desk, of } = testDesk();
    await desk.handle({ type: 'preview', id: 'v', file: loop, name: 'loop.wav' });
    await desk.handle({ type: 'analyse', id: 'a', file: loop, name: 'loop.wav' });
    expect(of('preview')[0].preview).toEqual(of('done')[0].preview);
  });

  it('reads an excerpt: the samples of the track from there on, and no more', async () => {
    const { desk, of } = testDesk();
    const ask = (id: string, startTime: number, seconds: number) =>
      desk.handle({ type: 'excerpt', id, file: loop, name: 'loop.wav', startTime, seconds });
    await ask('whole', 0, 30);
    await ask('part', 7.25, 0.5);
    await ask('end', 29.75, 4);
    await ask('before', -3, 1);
    const [whole, part, end, before] = of('excerpt').map((reply) => reply.excerpt);
    const { sampleRate } = whole;
    expect(whole.samples.length).toBe(30 * sampleRate);
    expect(whole.samples.some((x) => Math.abs(x) > 0.1)).toBe(true);
    const from = Math.round(7.25 * sampleRate);
    expect(part.startTime).toBeCloseTo(7.25, 4);
    expect(part.samples).toEqual(whole.samples.slice(from, from + Math.round(sampleRate / 2)));
    expect(end.samples).toEqual(whole.samples.slice(Math.round(29.75 * sampleRate)));
    expect(before.startTime).toBe(0);
    expect(before.samples).toEqual(whole.samples.slice(0, sampleRate));
  });

  it('reads no further than the excerpt’s end', async () => {
    let furthest = 0;
    class Watched extends Blob {
      override slice(start?: number, end?: number, type?: string): Blob {
        furthest = Math.max(furthest, end ?? this.size);
        return super.slice(start, end, type);
      }
    }
    const file = new Watched([wav]);
    const { desk, of } = testDesk();
    const request = { type: 'excerpt', id: 'x', file, name: 'loop.wav' } as const;
    await desk.handle({ ...request, startTime: 1, seconds: 1 });
    expect(of('excerpt')[0].excerpt.samples.length).toBeGreaterThan(0);
    expect(furthest).toBeGreaterThan(file.size / 30);
    expect(furthest).toBeLessThan(file.size / 3);
    await desk.handle({ ...request, startTime: 29, seconds: 1 });
    expect(furthest).toBeGreaterThan(file.size * 0.9);
  });

  it('cancels', async () => {
    const { desk, replies, watch } = testDesk();
    watch((reply) => reply.type === 'early' && void desk.handle({ type: 'cancel', id: 'a' }));
    await desk.handle({ type: 'analyse', id: 'a', file: loop, name: 'loop.wav' });
    expect(replies[replies.length - 1]).toEqual({ type: 'cancelled', id: 'a' });
    const before = replies.length;
    await desk.handle({ type: 'cancel', id: 'a' });
    await desk.handle({ type: 'cancel', id: 'nobody' });
    expect(replies.length).toBe(before);
  });

  it('the same id again replaces the work that had it', async () => {
    const { desk, of } = testDesk();
    const request = { type: 'analyse', id: 'a', file: loop, name: 'loop.wav' } as const;
    await Promise.all([desk.handle(request), desk.handle(request)]);
    expect(of('cancelled')).toHaveLength(1);
    expect(of('done')).toHaveLength(1);
  });

  it('makes a WAV that can be played', async () => {
    const { desk, replies, of } = testDesk();
    await desk.handle({ type: 'playable', id: 'p', file: loop, name: 'loop.wav' });
    expect(replies[replies.length - 1].type).toBe('playable');
    const [{ blob }] = of('playable');
    expect(blob.type).toBe('audio/wav');
    const { desk: again, of: replyOf } = testDesk();
    await again.handle({ type: 'analyse', id: 'b', file: blob, name: 'copy.wav' });
    expect(replyOf('done')[0].analysis.duration).toBeCloseTo(30, 3);
  });

  it('turns bad input into a fault with its sentence', async () => {
    const { desk, replies } = testDesk();
    const file = new Blob(['just some words']);
    const types = ['analyse', 'playable', 'preview', 'excerpt'] as const;
    for (const type of types)
      await desk.handle({ type, id: 'x', file, name: 'words.mp3', startTime: 0, seconds: 1 });
    const faults = replies.filter((reply) => reply.type === 'fault');
    expect(faults).toHaveLength(types.length);
    for (const fault of faults) {
      expect(fault.code).toBe('not-audio');
      expect(fault.sentence).toContain('words.mp3');
    }
  });

  it('turns an error of our own into a fault that names the file', async () => {
    const replies: WorkerReply[] = [];
    const desk = new Desk((reply) => {
      if (reply.type === 'early') throw new TypeError('the page is gone');
      replies.push(reply);
    });
    await desk.handle({ type: 'analyse', id: 'a', file: loop, name: 'loop.wav' });
    const last = replies[replies.length - 1];
    expect(last).toMatchObject({ type: 'fault', id: 'a', code: 'unexpected' });
    expect(last.type === 'fault' && last.sentence).toMatch(/“loop\.wav”.*the page is gone/);
  });
});
