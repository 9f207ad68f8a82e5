import { afterEach, describe, expect, test, vi } from 'vitest';
import { hasEnded, JobFault, QUEUE_SENTENCES } from '../../src/queue/job.ts';
import { makePlayable } from '../../src/queue/errand.ts';
import { AnalysisQueue, poolSize, type QueueOptions } from '../../src/queue/queue.ts';
import { QueueState } from '../../src/queue/queue.svelte.ts';
import { analysis, doneReply, FakeWorker, file, tags, until, workingWorker } from './helpers.ts';

function setUp(options: Partial<QueueOptions> = {}, make: () => FakeWorker = () => new FakeWorker()) {
  const workers: FakeWorker[] = [];
  const accepted: string[] = [];
  const known: string[] = [];
  const queue = new AnalysisQueue({
    createWorker() {
      const worker = make();
      workers.push(worker);
      return worker;
    },
    recognise: async () => null,
    known: (job, id) => void known.push(`${job.name} is ${id}`),
    accept: (job) => void accepted.push(job.name),
    ...options,
  });
  const kinds = () => queue.jobs.map((job) => job.state.kind);
  return { queue, workers, accepted, known, kinds };
}

const two = () => [
  { file: file('one.wav'), name: 'one.wav' },
  { file: file('two.wav'), name: 'two.wav' },
];

afterEach(() => {
  vi.useRealTimers();
});

describe('the queue', () => {
  test('reads one file at a time with one worker, in order', async () => {
    const { queue, workers, accepted, kinds } = setUp();
    const [one, twoJob] = queue.add(two());
    await until(() => workers[0]?.requests.length === 1);
    expect(kinds()).toEqual(['reading', 'waiting']);
    expect(workers[0].requests).toMatchObject([{ type: 'analyse', id: one.id, name: 'one.wav' }]);
    workers[0].say(await doneReply(one.id, one.file, one.name));
    await until(() => workers[0].requests.length === 2);
    expect(kinds()).toEqual(['done', 'reading']);
    workers[0].say(await doneReply(twoJob.id, twoJob.file, twoJob.name));
    await queue.idle();
    expect(kinds()).toEqual(['done', 'done']);
    expect(accepted).toEqual(['one.wav', 'two.wav']);
    expect(workers).toHaveLength(1);
  });

  test('reads as many at once as it has lanes; one that crashes takes nothing else down', async () => {
    const { queue, workers, accepted, kinds } = setUp({ lanes: 2 });
    const jobs = queue.add([...two(), { file: file('three.wav'), name: 'three.wav' }]);
    await until(() => workers.length === 2 && workers.every((w) => w.requests.length === 1));
    expect(kinds()).toEqual(['reading', 'reading', 'waiting']);
    workers[0].crash();
    await until(() => workers.length === 3 && workers[2].requests.length === 1);
    expect(kinds()).toEqual(['fault', 'reading', 'reading']);
    expect([workers[0].terminated, workers[1].terminated]).toEqual([true, false]);
    let idle = false;
    void queue.idle().then(() => (idle = true));
    workers[2].say(await doneReply(jobs[2].id, jobs[2].file, jobs[2].name));
    await until(() => kinds()[2] === 'done');
    expect(idle).toBe(false);
    workers[1].say(await doneReply(jobs[1].id, jobs[1].file, jobs[1].name));
    await queue.idle();
    expect(accepted).toEqual(['three.wav', 'two.wav']);
  });

  test('a worker that has read a long file is replaced', async () => {
    const { queue, workers, accepted } = setUp();
    const [one, second] = queue.add(two());
    await until(() => workers[0]?.requests.length === 1);
    const reply = await doneReply(one.id, one.file, one.name);
    workers[0].say({ ...reply, analysis: analysis(124, 7200) } as typeof reply);
    await until(() => workers[1]?.requests.length === 1);
    expect(workers[0].terminated).toBe(true);
    workers[1].say(await doneReply(second.id, second.file, second.name));
    await queue.idle();
    expect(accepted).toEqual(['one.wav', 'two.wav']);
    expect(workers[1].terminated).toBe(false);
  });

  test('leaves one core to the page', () => {
    expect([undefined, 1, 2, 4, 16].map(poolSize)).toEqual([1, 1, 1, 3, 4]);
  });

  test('tells the share that has been read, which never falls', async () => {
    const { queue, workers } = setUp();
    const state = new QueueState(queue);
    const [job] = queue.add(two());
    await until(() => workers[0]?.requests.length === 1);
    const shares: number[] = [];
    for (const share of [0.2, 0.6, 0.4]) {
      workers[0].say({ type: 'progress', id: job.id, share });
      const now = queue.jobs[0].state;
      shares.push(now.kind === 'reading' ? now.share : NaN);
    }
    expect(shares).toEqual([0.2, 0.6, 0.6]);
    expect(state.share).toBeCloseTo(0.3);
    expect(state.busy).toBe(true);
  });

  test('hands on the early picture and lets go of it when the job ends', async () => {
    const { queue, workers } = setUp();
    const state = new QueueState(queue);
    const [job] = queue.add(two().slice(0, 1));
    await until(() => workers[0]?.requests.length === 1);
    const { pyramid, source } = analysis();
    workers[0].say({ type: 'early', id: job.id, pyramid, source, expectedDuration: 8, tags: tags('One') });
    expect(state.earlyOf(job.id)?.reply.pyramid).toBe(pyramid);
    workers[0].say({ type: 'fault', id: job.id, code: 'damaged', sentence: '“one.wav” is damaged.' });
    await queue.idle();
    expect(state.earlyOf(job.id)).toBeNull();
  });

  test('shows the sentence of a bad file and goes on', async () => {
    const { queue, workers, accepted, kinds } = setUp();
    const [bad, good] = queue.add(two());
    await until(() => workers[0]?.requests.length === 1);
    workers[0].say({ type: 'fault', id: bad.id, code: 'not-audio', sentence: '“one.wav” is not audio.' });
    await until(() => workers[0].requests.length === 2);
    workers[0].say(await doneReply(good.id, good.file, good.name));
    await queue.idle();
    expect(queue.jobs[0].state).toEqual({
      kind: 'fault',
      code: 'not-audio',
      sentence: '“one.wav” is not audio.',
    });
    expect(kinds()[1]).toBe('done');
    expect(accepted).toEqual(['two.wav']);
  });

  test('replaces a worker that crashes and goes on with the next file', async () => {
    const { queue, workers, kinds } = setUp();
    const [, next] = queue.add(two());
    await until(() => workers[0]?.requests.length === 1);
    workers[0].crash();
    await until(() => workers[1]?.requests.length === 1);
    expect(workers[0].terminated).toBe(true);
    expect(queue.jobs[0].state).toEqual({
      kind: 'fault',
      code: 'crashed',
      sentence: QUEUE_SENTENCES.crashed('one.wav'),
    });
    workers[1].say(await doneReply(next.id, next.file, next.name));
    await queue.idle();
    expect(kinds()).toEqual(['fault', 'done']);
  });

  test('does not give the next file to a worker that crashed while idle', async () => {
    const { queue, workers, kinds } = setUp({}, workingWorker);
    queue.add(two().slice(0, 1));
    await queue.idle();
    workers[0].crash();
    queue.add(two().slice(1));
    await queue.idle();
    expect(workers).toHaveLength(2);
    expect(kinds()).toEqual(['done', 'done']);
  });

  test('a worker that cannot start is a fault of each file, not a stuck queue', async () => {
    const { queue, kinds } = setUp({
      createWorker() {
        throw new Error('workers are switched off');
      },
    });
    queue.add(two());
    await queue.idle();
    expect(kinds()).toEqual(['fault', 'fault']);
    expect(queue.jobs[1].state).toMatchObject({
      sentence: QUEUE_SENTENCES.noWorker('two.wav', 'workers are switched off'),
    });
  });

  test('what cannot be taken in is a fault with its reason', async () => {
    const accept = () => Promise.reject(new Error('the shelf is full'));
    const { queue } = setUp({ accept }, workingWorker);
    queue.add(two().slice(0, 1));
    await queue.idle();
    expect(queue.jobs[0].state).toMatchObject({
      kind: 'fault',
      sentence: QUEUE_SENTENCES.unexpected('one.wav', 'the shelf is full'),
    });
  });
});

describe('cancelling', () => {
  test('a waiting file never starts', async () => {
    const { queue, workers, accepted, kinds } = setUp();
    const [one, other] = queue.add(two());
    await until(() => workers[0]?.requests.length === 1);
    queue.cancel(other.id);
    expect(kinds()).toEqual(['reading', 'cancelled']);
    workers[0].say(await doneReply(one.id, one.file, one.name));
    await queue.idle();
    expect(workers[0].requests).toHaveLength(1);
    expect(accepted).toEqual(['one.wav']);
  });

  test('the file being read is stopped by message, and the same worker goes on', async () => {
    const { queue, workers, kinds } = setUp();
    const [one, other] = queue.add(two());
    await until(() => workers[0]?.requests.length === 1);
    queue.cancel(one.id);
    expect(kinds()[0]).toBe('cancelled');
    expect(workers[0].requests.at(-1)).toEqual({ type: 'cancel', id: one.id });
    workers[0].say({ type: 'cancelled', id: one.id });
    await until(() => workers[0].requests.length === 3);
    expect(workers[0].requests.at(-1)).toMatchObject({ type: 'analyse', id: other.id });
    expect(workers).toHaveLength(1);
  });

  test('a result that arrives after the cancel is dropped', async () => {
    const { queue, workers, accepted, kinds } = setUp();
    const [one] = queue.add(two().slice(0, 1));
    await until(() => workers[0]?.requests.length === 1);
    queue.cancel(one.id);
    workers[0].say(await doneReply(one.id, one.file, one.name));
    await queue.idle();
    expect(kinds()).toEqual(['cancelled']);
    expect(accepted).toEqual([]);
  });

  test('a worker that does not answer the cancel is replaced', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    const { queue, workers, kinds } = setUp({ cancelPatienceMs: 500 });
    const [one] = queue.add(two());
    await until(() => workers[0]?.requests.length === 1);
    queue.cancel(one.id);
    vi.advanceTimersByTime(499);
    expect(workers[0].terminated).toBe(false);
    vi.advanceTimersByTime(1);
    expect(workers[0].terminated).toBe(true);
    await until(() => workers[1]?.requests.length === 1);
    expect(kinds()).toEqual(['cancelled', 'reading']);
  });

  test('all at once', async () => {
    const { queue, workers, kinds } = setUp();
    const [one] = queue.add([...two(), ...two()]);
    await until(() => workers[0]?.requests.length === 1);
    queue.cancelAll();
    workers[0].say({ type: 'cancelled', id: one.id });
    await queue.idle();
    expect(kinds()).toEqual(['cancelled', 'cancelled', 'cancelled', 'cancelled']);
    expect(workers[0].requests).toHaveLength(2);
  });

  test('an ended job can be tried again or taken off the list; a running one cannot', async () => {
    const { queue, workers } = setUp();
    const [one] = queue.add(two().slice(0, 1));
    await until(() => workers[0]?.requests.length === 1);
    queue.dismiss(one.id);
    expect(queue.retry(one.id)).toBeNull();
    expect(queue.jobs).toHaveLength(1);
    workers[0].say({ type: 'fault', id: one.id, code: 'damaged', sentence: 'Damaged.' });
    await queue.idle();
    const again = queue.retry(one.id)!;
    expect(again.id).not.toBe(one.id);
    await until(() => workers[0].requests.length === 2);
    workers[0].say(await doneReply(again.id, again.file, again.name));
    await queue.idle();
    expect(queue.jobs.map((job) => [job.name, job.state.kind])).toEqual([['one.wav', 'done']]);
    expect(queue.jobs.every(hasEnded)).toBe(true);
    queue.dismissEnded();
    expect(queue.jobs).toEqual([]);
  });
});

describe('duplicates', () => {
  test('a known file is reported as already there and not analysed', async () => {
    const { queue, workers, known } = setUp({ recognise: async () => 'abc' });
    queue.add(two().slice(0, 1));
    await queue.idle();
    expect(queue.jobs[0].state).toEqual({ kind: 'already', trackId: 'abc' });
    expect(known).toEqual(['one.wav is abc']);
    expect(workers).toHaveLength(0);
  });

  test('two copies in one drop: the second is recognised once the first is in', async () => {
    const shelf = new Map<string, string>();
    const { queue, kinds } = setUp(
      {
        recognise: async (blob) => shelf.get(await blob.text()) ?? null,
        accept: async (job, result) => void shelf.set(await job.file.text(), result.hash),
      },
      workingWorker,
    );
    queue.add([
      { file: file('a.wav', 'same'), name: 'a.wav' },
      { file: file('copy of a.wav', 'same'), name: 'copy of a.wav' },
      { file: file('a.wav', 'other'), name: 'a.wav' },
    ]);
    await queue.idle();
    expect(kinds()).toEqual(['done', 'already', 'done']);
  });

  test('a file that is to be analysed again is, though it is known', async () => {
    const recognise = vi.fn(async () => 'abc');
    const { queue, kinds } = setUp({ recognise }, workingWorker);
    queue.add([{ file: file('a.wav'), name: 'a.wav', again: true }]);
    await queue.idle();
    expect(kinds()).toEqual(['done']);
    expect(recognise).not.toHaveBeenCalled();
  });
});

describe('a playable version', () => {
  test('comes from a worker that ends with it', async () => {
    const worker = workingWorker();
    const wav = await makePlayable(() => worker, file('a.aiff'), 'a.aiff');
    expect(await wav.text()).toBe('RIFF');
    expect(worker.terminated).toBe(true);
  });

  test('a fault, a crash and an abort each end the worker', async () => {
    const faulty = new FakeWorker((request, worker) =>
      worker.say({ type: 'fault', id: request.id, code: 'damaged', sentence: 'Damaged.' }),
    );
    await expect(makePlayable(() => faulty, file('a'), 'a')).rejects.toThrow(
      new JobFault('damaged', 'Damaged.'),
    );
    const crashing = new FakeWorker((_request, worker) => worker.crash());
    await expect(makePlayable(() => crashing, file('a'), 'a')).rejects.toMatchObject({ code: 'crashed' });
    const silent = new FakeWorker();
    const abort = new AbortController();
    const waiting = makePlayable(() => silent, file('a'), 'a', { signal: abort.signal });
    abort.abort();
    await expect(waiting).rejects.toMatchObject({ name: 'AbortError' });
    expect([faulty, crashing, silent].map((w) => w.terminated)).toEqual([true, true, true]);
  });
});
