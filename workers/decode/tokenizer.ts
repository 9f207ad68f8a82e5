/** A byte source in the shape that `music-metadata` reads from. */
import { AbstractTokenizer, EndOfStreamError, type IReadChunkOptions } from 'strtok3';
import type { ByteSource } from './types.ts';

/** The parser reads a few bytes at a time; each read of the source brings this many. */
const PAGE = 64 * 1024;

export class SourceTokenizer extends AbstractTokenizer {
  fileInfo;
  private page = new Uint8Array(0);
  private pageStart = 0;

  constructor(private readonly source: ByteSource) {
    super();
    this.fileInfo = { size: source.size, path: source.name };
  }

  override supportsRandomAccess(): boolean {
    return true;
  }

  setPosition(position: number): void {
    this.position = position;
  }

  override async readBuffer(buffer: Uint8Array, options?: IReadChunkOptions): Promise<number> {
    const { position } = this.normalizeOptions(buffer, options);
    const count = await this.peekBuffer(buffer, options);
    this.position = position + count;
    return count;
  }

  override async peekBuffer(buffer: Uint8Array, options?: IReadChunkOptions): Promise<number> {
    const { position, length, mayBeLess } = this.normalizeOptions(buffer, options);
    const count = Math.max(0, Math.min(length, this.source.size - position));
    if (count < length && !mayBeLess) throw new EndOfStreamError();
    buffer.set(await this.bytes(position, count));
    return count;
  }

  private async bytes(start: number, count: number): Promise<Uint8Array> {
    if (start < this.pageStart || start + count > this.pageStart + this.page.length) {
      const fresh = await this.source.read(start, start + Math.max(PAGE, count));
      if (fresh.length < count) throw new EndOfStreamError();
      this.page = fresh as Uint8Array<ArrayBuffer>;
      this.pageStart = start;
    }
    return this.page.subarray(start - this.pageStart, start - this.pageStart + count);
  }
}
