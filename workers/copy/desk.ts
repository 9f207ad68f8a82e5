/** The worker's side of a copy: bytes go to the page only as it asks for them. */
import { blobSource } from '../decode/source.ts';
import type { CopyRequest, WorkerReply } from '../protocol.ts';
import { prepareCopy } from './copy.ts';

type Post = (reply: WorkerReply, transfer: ArrayBuffer[]) => void;

/** Counts what the page has asked for and not yet got. */
class Wants {
  #wanted = 0;
  #wake: (() => void) | null = null;
  readonly #signal: AbortSignal;

  constructor(signal: AbortSignal) {
    this.#signal = signal;
    signal.addEventListener('abort', () => this.#wake?.(), { once: true });
  }

  more(): void {
    this.#wanted++;
    this.#wake?.();
  }

  /** Resolves when one more piece is wanted, and takes that want. */
  async next(): Promise<void> {
    while (this.#wanted === 0) {
      this.#signal.throwIfAborted();
      await new Promise<void>((resolve) => (this.#wake = resolve));
      this.#wake = null;
    }
    this.#wanted--;
  }
}

export class CopyDesk {
  readonly #post: Post;
  readonly #wants = new Map<string, Wants>();

  constructor(post: Post) {
    this.#post = post;
  }

  /** One more piece of the copy `id`; of unknown or finished copies it is left alone. */
  more(id: string): void {
    this.#wants.get(id)?.more();
  }

  async make(
    { id, file, name, wish, ...how }: CopyRequest,
    signal: AbortSignal,
    onProgress: (share: number) => void,
  ): Promise<void> {
    const wants = new Wants(signal);
    this.#wants.set(id, wants);
    try {
      const options = { ...how, signal, onProgress };
      const { size, report, bytes } = await prepareCopy(blobSource(file, name), wish, options);
      this.#post({ type: 'copy-planned', id, size, report }, []);
      for await (const piece of bytes()) {
        await wants.next();
        // The buffer is given away, and a piece may be a view of something that is still needed.
        const own = piece.slice();
        this.#post({ type: 'copy-bytes', id, bytes: own }, [own.buffer]);
      }
      // The page asks for what is behind the last piece, too.
      await wants.next();
      this.#post({ type: 'copy', id, report }, []);
    } finally {
      if (this.#wants.get(id) === wants) this.#wants.delete(id);
    }
  }
}
