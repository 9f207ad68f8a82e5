import { describe, expect, it } from 'vitest';
import { Desk } from '../../workers/desk.ts';
import type { WorkerReply } from '../../workers/protocol.ts';
import { TITLE, patternWav } from './wave.ts';

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
    const types = ['analyse', 'playable', 'preview'] as const;
    for (const type of types) await desk.handle({ type, id: 'x', file, name: 'words.mp3' });
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
