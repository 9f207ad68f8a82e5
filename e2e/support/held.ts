/** What the page waits for, held back and let go on again: for what it shows meanwhile. */
import type { Page } from '@playwright/test';

type Held = 'reads' | 'writing' | 'service worker';

interface Gate {
  opened: Promise<void>;
  open(): void;
}
type Gated = Window & { gates: Record<Held, Gate> };

/** Makes a gate in the page, shut until `letGoOn`. */
async function makeGate(page: Page, what: Held): Promise<void> {
  await page.evaluate((name) => {
    let open = () => {};
    const opened = new Promise<void>((resolve) => (open = resolve));
    const { gates } = window as Partial<Gated>;
    Object.assign(window, { gates: { ...gates, [name]: { opened, open } } });
  }, what);
}

export async function letGoOn(page: Page, what: Held): Promise<void> {
  await page.evaluate((name) => (window as unknown as Gated).gates[name].open(), what);
}

/** Answers of the database to reads from a store wait. */
export async function holdReads(page: Page, store: string): Promise<void> {
  await makeGate(page, 'reads');
  await page.evaluate((name) => {
    const { opened } = (window as unknown as Gated).gates.reads;
    const { get } = IDBObjectStore.prototype;
    IDBObjectStore.prototype.get = function (key) {
      const request = get.call(this, key);
      if (this.name !== name) return request;
      request.addEventListener = (type: string, listener: (event: Event) => void) =>
        IDBRequest.prototype.addEventListener.call(
          request,
          type,
          (event) => void opened.then(() => listener.call(request, event)),
        );
      return request;
    };
    void opened.then(() => (IDBObjectStore.prototype.get = get));
  }, store);
}

/** Writing to files waits, once some have been begun: as with a drive that has stopped answering. */
export async function holdWriting(page: Page, afterBytes: number): Promise<void> {
  await makeGate(page, 'writing');
  await page.evaluate((limit) => {
    const { opened } = (window as unknown as Gated).gates.writing;
    const { write } = FileSystemWritableFileStream.prototype;
    let bytes = 0;
    FileSystemWritableFileStream.prototype.write = async function (data) {
      bytes += (data as Uint8Array).byteLength;
      if (bytes > limit) await opened;
      return write.call(this, data);
    };
    void opened.then(() => (FileSystemWritableFileStream.prototype.write = write));
  }, afterBytes);
}

/** What the page tells its service worker waits. */
export async function holdServiceWorker(page: Page): Promise<void> {
  await makeGate(page, 'service worker');
  await page.evaluate(() => {
    const { opened } = (window as unknown as Gated).gates['service worker'];
    const { postMessage } = ServiceWorker.prototype;
    ServiceWorker.prototype.postMessage = function (this: ServiceWorker, ...message: unknown[]) {
      void opened.then(() => Reflect.apply(postMessage, this, message));
    };
    void opened.then(() => (ServiceWorker.prototype.postMessage = postMessage));
  });
}

/** Writes to the database fail as they do when the disk is full, while `work` is done. */
export async function withFullDisk(page: Page, work: () => Promise<void>): Promise<void> {
  await page.evaluate(() => {
    const { put } = IDBObjectStore.prototype;
    Object.assign(window, { put });
    IDBObjectStore.prototype.put = () => {
      throw new DOMException('There is no room left on the disk.', 'QuotaExceededError');
    };
  });
  await work();
  await page.evaluate(() => {
    IDBObjectStore.prototype.put = (window as unknown as Pick<IDBObjectStore, 'put'>).put;
  });
}
