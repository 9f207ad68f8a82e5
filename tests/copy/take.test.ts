/** Take-along folders and zips on a disk that fails on demand; checked by `sha256sum` and `unzip`/Python's zipfile. */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { Desk } from '../../workers/desk.ts';
import type { WorkerReply, WorkerRequest } from '../../workers/protocol.ts';
import type { CopyReport } from '../../workers/copy/types.ts';
import type { AnalysisWorker } from '../../src/queue/worker.ts';
import { blobFile, copyFile, textFile } from '../../src/take/files.ts';
import { UNFINISHED_NAME, writeFolder } from '../../src/take/folder.ts';
import { CHECKSUMS_NAME } from '../../src/take/hashed.ts';
import { startCopy } from '../../src/take/copy-stream.ts';
import { TakeFault, type TakeFile } from '../../src/take/types.ts';
import { checkZip, writeZip } from '../../src/take/zip.ts';
import { decodeBytes } from '../fixtures/decoded.ts';
import { floatWav, testSignal } from '../fixtures/signal.ts';
import { FakeFile, FakeFolder, asFile, asFolder, newDisk, type Disk } from './disk.ts';

const place = mkdtempSync(join(tmpdir(), 'take-'));
afterAll(() => rmSync(place, { recursive: true }));

const WISH = { container: 'aiff', depth: 16, rate: 44100 } as const;
const NOW = Date.UTC(2026, 5, 1, 12);
const song = new Blob([new Uint8Array(floatWav(testSignal(48000, 2, 3), 48000))]);

/** The desk as a worker: messages are cloned and arrive later, as between threads. */
class LocalWorker implements AnalysisWorker {
  static alive = 0;
  readonly #listeners = new Set<(event: MessageEvent<WorkerReply>) => void>();
  #ended = false;
  readonly #desk = new Desk((reply, transfer) => {
    const data = structuredClone(reply, { transfer });
    setImmediate(() => {
      if (!this.#ended) this.#listeners.forEach((l) => l({ data } as MessageEvent<WorkerReply>));
    });
  });
  constructor() {
    LocalWorker.alive++;
  }
  postMessage(request: WorkerRequest) {
    setImmediate(() => void this.#desk.handle(request));
  }
  terminate() {
    if (!this.#ended) LocalWorker.alive--;
    this.#ended = true;
  }
  addEventListener(type: string, listener: never) {
    if (type === 'message') this.#listeners.add(listener);
  }
  removeEventListener(_type: string, listener: never) {
    this.#listeners.delete(listener);
  }
}
const newWorker = () => new LocalWorker();

const files = (onReport?: (report: CopyReport) => void): TakeFile[] => [
  textFile('Set.m3u8', '#EXTM3U\r\ntracks/Nächtlich – 夜.aiff\r\n'),
  copyFile('tracks/Nächtlich – 夜.aiff', newWorker, song, 'night.wav', { wish: WISH, onReport }),
  blobFile('tracks/as it is.bin', new Blob([new Uint8Array(3_000_001).fill(7)])),
  textFile('empty.txt', ''),
];

async function failing(run: Promise<unknown>): Promise<TakeFault> {
  const error = await run.then(
    () => new Error('it did not fail'),
    (e: unknown) => e,
  );
  expect(error).toBeInstanceOf(TakeFault);
  return error as TakeFault;
}

function onDisk(folder: FakeFolder): string {
  const root = mkdtempSync(join(place, 'f'));
  for (const path of folder.paths()) {
    mkdirSync(dirname(join(root, path)), { recursive: true });
    writeFileSync(join(root, path), folder.file(path));
  }
  return root;
}

describe('a folder', () => {
  it('holds every file, checked by sha256sum, and nothing else', async () => {
    const root = new FakeFolder('stick', newDisk());
    const reports: CopyReport[] = [];
    const seen = new Set<string>();
    const result = await writeFolder(
      asFolder(root),
      'Friday: the set',
      files((r) => reports.push(r)),
      {
        onProgress: ({ step, path }) => seen.add(`${step} ${path}`),
      },
    );
    expect(result.folder).toBe('Friday- the set');
    const paths = [...files().map((f) => f.path), CHECKSUMS_NAME];
    expect(root.paths().sort()).toEqual(paths.map((p) => `Friday- the set/${p}`).sort());
    expect(result.files.map((f) => f.path)).toEqual(paths);
    for (const path of paths) for (const s of ['writing', 'checking']) expect(seen).toContain(`${s} ${path}`);
    const told = execFileSync('sha256sum', ['-c', CHECKSUMS_NAME], {
      cwd: join(onDisk(root), result.folder),
    }).toString();
    expect(told.match(/: OK$/gm)).toHaveLength(4);
    const copy = root.file('Friday- the set/tracks/Nächtlich – 夜.aiff');
    const { track, samples } = await decodeBytes(copy, 'x.aiff');
    expect(track.format).toMatchObject({ container: 'aiff', bitDepth: 16, sampleRate: 44100 });
    expect(samples[0].length).toBe(3 * 44100);
    expect(reports).toMatchObject([{ kind: 'converted', resampled: true, after: { bytes: copy.length } }]);
    expect(LocalWorker.alive).toBe(0);
  });

  it('never touches what is there: the next free name is taken', async () => {
    const root = new FakeFolder('stick', newDisk());
    const old = await root.getDirectoryHandle('Set', { create: true });
    (await old.getFileHandle('mine.txt', { create: true })).content = Uint8Array.of(1);
    await root.getFileHandle('Set (2)', { create: true });
    const { folder } = await writeFolder(asFolder(root), 'Set', [textFile('a.txt', 'a')]);
    expect(folder).toBe('Set (3)');
    expect([...root.file('Set/mine.txt')]).toEqual([1]);
  });

  it('says that it is not finished until the very end', async () => {
    const root = new FakeFolder('stick', newDisk());
    const during: boolean[] = [];
    await writeFolder(asFolder(root), 'Set', files(), {
      onProgress: () => during.push(root.paths().includes(`Set/${UNFINISHED_NAME}`)),
    });
    expect(during.length).toBeGreaterThan(8);
    expect(during.every(Boolean)).toBe(true);
    expect(root.paths()).not.toContain(`Set/${UNFINISHED_NAME}`);
  });

  const quota = () => new DOMException('no room', 'QuotaExceededError');
  const withdrawn = () => new DOMException('no', 'NotAllowedError');
  const gone = () => new DOMException('where', 'NotFoundError');
  it.each([
    ['full', quota, 'The disk is full: “tracks/Nächtlich – 夜.aiff”'],
    ['permission', withdrawn, 'may no longer write there'],
    ['gone', gone, 'no longer there'],
  ] as const)(
    'that fails half way (%s) is gone again, and the sentence says why',
    async (code, error, says) => {
      const root = new FakeFolder('stick', newDisk());
      root.disk.onWrite = (name, used) => {
        if (name.endsWith('.aiff') && used > 100_000) throw error();
      };
      const fault = await failing(writeFolder(asFolder(root), 'Set', files()));
      expect(fault.code).toBe(code);
      expect(fault.message).toContain(says);
      expect(fault.leftovers).toEqual([]);
      expect([...root.entries.keys()]).toEqual([]);
      expect(root.disk.open).toBe(0);
      expect(LocalWorker.alive).toBe(0);
    },
  );

  it('names what it could not remove, and leaves the word that it is not finished', async () => {
    const root = new FakeFolder('stick', newDisk());
    root.disk.onWrite = (name) => {
      if (name.endsWith('.bin')) throw withdrawn();
    };
    root.disk.onRemove = () => {
      throw withdrawn();
    };
    const fault = await failing(writeFolder(asFolder(root), 'Set', files()));
    expect(fault.leftovers).toContain('Set/tracks/Nächtlich – 夜.aiff');
    expect(fault.message).toContain('Could not be removed again: “Set” and');
    expect(root.paths()).toContain(`Set/${UNFINISHED_NAME}`);
    expect(root.paths()).not.toContain(`Set/${CHECKSUMS_NAME}`);
  });

  it('that is stopped leaves no file and no worker', async () => {
    for (const when of ['Set.m3u8', 'tracks/Nächtlich – 夜.aiff', CHECKSUMS_NAME]) {
      for (const step of ['writing', 'checking'] as const) {
        const root = new FakeFolder('stick', newDisk());
        const abort = new AbortController();
        const fault = await failing(
          writeFolder(asFolder(root), 'Set', files(), {
            signal: abort.signal,
            onProgress: (p) => {
              if (p.path === when && p.step === step) abort.abort();
            },
          }),
        );
        expect(fault.code, `${when} ${step}`).toBe('cancelled');
        expect([...root.entries.keys()]).toEqual([]);
        expect(root.disk.open).toBe(0);
        expect(LocalWorker.alive).toBe(0);
      }
    }
  });

  it('that reads back differently is not done', async () => {
    const spoil: Disk['spoil'] = (name, content) => {
      if (name.endsWith('.aiff')) content[content.length >> 1] ^= 1;
    };
    const root = new FakeFolder('stick', newDisk({ spoil }));
    const fault = await failing(writeFolder(asFolder(root), 'Set', files()));
    expect(fault.code).toBe('check');
    expect([...root.entries.keys()]).toEqual([]);
  });

  it('with a track that cannot be read says which', async () => {
    const root = new FakeFolder('stick', newDisk());
    const bad = copyFile('b.aiff', newWorker, new Blob(['no audio at all']), 'b.mp3', { wish: WISH });
    const fault = await failing(writeFolder(asFolder(root), 'Set', [textFile('a.txt', 'a'), bad]));
    expect(fault.code).toBe('source');
    expect(fault.message).toMatch(/“b\.mp3” is not audio but a text file.*Nothing of it was left behind/);
    expect([...root.entries.keys()]).toEqual([]);
    expect(LocalWorker.alive).toBe(0);
  });

  it('refuses paths that lead out of it', async () => {
    const root = new FakeFolder('stick', newDisk());
    for (const path of ['../a.txt', '/a.txt', 'a/../b.txt', 'con.txt', 'a?.txt', '']) {
      expect((await failing(writeFolder(asFolder(root), 'Set', [textFile(path, 'a')]))).code).toBe(
        'unexpected',
      );
    }
    expect([...root.entries.keys()]).toEqual([]);
  });
});

describe('a zip', () => {
  const newZip = (faults: Partial<Disk> = {}) => {
    const root = new FakeFolder('downloads', newDisk(faults));
    return { root, file: root.getFileHandle('set.zip', { create: true }) };
  };

  it('is what other programs read, with right checksums', async () => {
    const { root, file } = newZip();
    const result = await writeZip(asFile(await file), 'Set', files(), { now: NOW });
    const path = join(place, 'set.zip');
    writeFileSync(path, root.file('set.zip'));
    const script = `import sys,zipfile;z=zipfile.ZipFile(sys.argv[1]);assert z.testzip() is None;z.extractall(sys.argv[2]);print('\\n'.join(z.namelist()))`;
    const out = mkdtempSync(join(place, 'z'));
    const names = execFileSync('python3', ['-c', script, path, out], {
      env: { ...process.env, PYTHONIOENCODING: 'utf-8', PYTHONUTF8: '1' },
    });
    expect(names.toString().trim().split('\n')).toEqual(result.files.map((f) => `Set/${f.path}`));
    const sums = spawnSync('sha256sum', ['-c', CHECKSUMS_NAME], { cwd: join(out, 'Set') });
    expect(sums.status).toBe(0);
    expect(readFileSync(join(out, 'Set', 'tracks/as it is.bin')).length).toBe(3_000_001);
    expect(LocalWorker.alive).toBe(0);
  });

  it('that fails or is stopped leaves what was there, or nothing', async () => {
    const { root, file } = newZip();
    root.disk.onWrite = (_name, used) => {
      if (used > 200_000) throw new DOMException('no room', 'QuotaExceededError');
    };
    const target = asFile(await file);
    const fault = await failing(writeZip(target, 'Set', files(), { now: NOW }));
    expect(fault.code).toBe('full');
    expect(root.paths()).toEqual([]);
    expect(root.disk.open).toBe(0);
    expect(LocalWorker.alive).toBe(0);

    const old = new FakeFile('old.zip', newDisk());
    old.content = Uint8Array.of(1, 2, 3);
    const abort = new AbortController();
    const stopped = await failing(
      writeZip(asFile(old), 'Set', files(), {
        now: NOW,
        signal: abort.signal,
        onProgress: ({ path }) => {
          if (path.endsWith('.aiff')) abort.abort();
        },
      }),
    );
    expect(stopped.code).toBe('cancelled');
    expect([...old.content]).toEqual([1, 2, 3]);
    expect(LocalWorker.alive).toBe(0);
  });

  it('of which any byte of a file or of the directory is changed does not pass the check', async () => {
    const { root, file } = newZip();
    const small = [textFile('a.txt', 'some text'), textFile('b/ü.txt', 'more')];
    const { files: written } = await writeZip(asFile(await file), 'Set', small, { now: NOW });
    const bytes = root.file('set.zip');
    await checkZip(new Blob([new Uint8Array(bytes)]), 'Set', written);
    const text = Buffer.from(bytes);
    const places = [
      text.indexOf('some text'),
      text.lastIndexOf('a.txt'),
      bytes.length - 20,
      bytes.length - 8,
    ];
    for (const at of places) {
      const spoilt = Uint8Array.from(bytes);
      spoilt[at] ^= 1;
      await expect(checkZip(new Blob([spoilt]), 'Set', written), `byte ${at}`).rejects.toThrow();
    }
    for (const length of [0, 10, bytes.length - 1]) {
      await expect(checkZip(new Blob([bytes.slice(0, length)]), 'Set', written)).rejects.toThrow();
    }
  });

  it('reads back after it was written', async () => {
    const spoil: Disk['spoil'] = (_name, content) => (content[60] ^= 1);
    const { root, file } = newZip({ spoil });
    const fault = await failing(writeZip(asFile(await file), 'Set', files(), { now: NOW }));
    expect(fault.code).toBe('check');
    expect(root.paths()).toEqual([]);
  });
});

describe('a copy from a worker', () => {
  it('sends no more than is asked for', async () => {
    let sent = 0;
    class Counting extends LocalWorker {
      override addEventListener(type: string, listener: never) {
        super.addEventListener(type, ((event: MessageEvent<WorkerReply>) => {
          if (event.data.type === 'copy-bytes') sent++;
          (listener as (e: unknown) => void)(event);
        }) as never);
      }
    }
    const copy = await startCopy(() => new Counting(), song, 'night.wav', { wish: WISH });
    let size = 0;
    for (let n = 1; ; n++) {
      const step = await copy.bytes.next();
      if (step.done) {
        expect(step.value.clipped).toBe(0);
        break;
      }
      size += step.value.length;
      await new Promise((resolve) => setTimeout(resolve, 5));
      expect(sent).toBe(n);
    }
    expect(size).toBe(copy.size);
    expect(LocalWorker.alive).toBe(0);
  });
});
