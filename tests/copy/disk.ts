/** Folders and files as https://fs.spec.whatwg.org/ has them, in memory, with faults on demand. */

export interface Disk {
  /** Called before each write with the file's name and the bytes that are already on the disk. */
  onWrite?: (name: string, used: number) => void;
  /** Called before anything is removed. */
  onRemove?: (name: string) => void;
  /** Changes what has been written, as a failing drive would. */
  spoil?: (name: string, content: Uint8Array<ArrayBuffer>) => void;
  used: number;
  open: number;
}

const fault = (name: string) => new DOMException(name, name);

export class FakeFile {
  readonly kind = 'file';
  content = new Uint8Array(0);
  constructor(
    readonly name: string,
    private readonly disk: Disk,
    private readonly folder: FakeFolder | null = null,
  ) {}

  async getFile() {
    return new File([this.content], this.name);
  }

  async createWritable() {
    const pieces: Uint8Array[] = [];
    const { disk } = this;
    disk.open++;
    let closed = false;
    const end = () => {
      if (!closed) disk.open--;
      closed = true;
    };
    return {
      write: async (piece: Uint8Array) => {
        if (closed) throw new TypeError('closed');
        disk.onWrite?.(this.name, disk.used);
        disk.used += piece.length;
        pieces.push(piece.slice());
      },
      close: async () => {
        this.content = new Uint8Array(Buffer.concat(pieces));
        disk.spoil?.(this.name, this.content);
        end();
      },
      abort: async () => end(),
    };
  }

  async remove() {
    await this.folder?.removeEntry(this.name);
  }
}

export class FakeFolder {
  readonly kind = 'directory';
  readonly entries = new Map<string, FakeFile | FakeFolder>();
  constructor(
    readonly name: string,
    readonly disk: Disk,
  ) {}

  async getDirectoryHandle(name: string, options?: { create?: boolean }): Promise<FakeFolder> {
    const found = this.entries.get(name);
    if (found instanceof FakeFile) throw fault('TypeMismatchError');
    if (found) return found;
    if (!options?.create) throw fault('NotFoundError');
    const made = new FakeFolder(name, this.disk);
    this.entries.set(name, made);
    return made;
  }

  async getFileHandle(name: string, options?: { create?: boolean }): Promise<FakeFile> {
    const found = this.entries.get(name);
    if (found instanceof FakeFolder) throw fault('TypeMismatchError');
    if (found) return found;
    if (!options?.create) throw fault('NotFoundError');
    const made = new FakeFile(name, this.disk, this);
    this.entries.set(name, made);
    return made;
  }

  async removeEntry(name: string): Promise<void> {
    const found = this.entries.get(name);
    if (!found) throw fault('NotFoundError');
    this.disk.onRemove?.(name);
    if (found instanceof FakeFolder && found.entries.size > 0) throw fault('InvalidModificationError');
    this.entries.delete(name);
  }

  /** Paths of all files below. */
  paths(prefix = ''): string[] {
    return [...this.entries].flatMap(([name, entry]) =>
      entry instanceof FakeFolder ? entry.paths(`${prefix}${name}/`) : [`${prefix}${name}`],
    );
  }

  file(path: string): Uint8Array {
    const [first, ...rest] = path.split('/');
    const entry = this.entries.get(first);
    if (entry instanceof FakeFolder) return entry.file(rest.join('/'));
    if (!entry) throw new Error(`no ${path}`);
    return entry.content;
  }
}

export const newDisk = (faults: Partial<Disk> = {}): Disk => ({ used: 0, open: 0, ...faults });
export const asFolder = (folder: FakeFolder) => folder as unknown as FileSystemDirectoryHandle;
export const asFile = (file: FakeFile) => file as unknown as FileSystemFileHandle;
