/** What the demo set was made from, as one number to compare. */
import { createHash } from 'node:crypto';
import { readdir, readFile } from 'node:fs/promises';
import { join, relative } from 'node:path';

/** Hash of the names and contents of files and of all files below folders; a missing one counts as missing. */
export async function fingerprint(root: string, paths: string[]): Promise<string> {
  const files = (await Promise.all(paths.map((path) => filesOf(join(root, path))))).flat().sort();
  const hash = createHash('sha256');
  for (const file of files) {
    const content = await readFile(file);
    hash.update(`${relative(root, file)}\0${content.length}\0`).update(content);
  }
  return hash.digest('hex');
}

async function filesOf(path: string): Promise<string[]> {
  try {
    const entries = await readdir(path, { withFileTypes: true, recursive: true });
    return entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOTDIR') return [path];
    if (code === 'ENOENT') return [];
    throw error;
  }
}
