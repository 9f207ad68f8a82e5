/** A folder dropped on the page, with handles as a real one has them. */
import type { Page } from '@playwright/test';
import { demo } from './files.ts';

/**
 * Drops a folder. The browser's own private folder stands for one on the disk: its handles are of the same kind.
 * @param name of the folder
 * @param files how many bytes of the first demo track each file holds, by its path: cut at different places they are
 *   tracks of their own
 */
export async function dropFolder(
  page: Page,
  name: string,
  files: Readonly<Record<string, number>>,
): Promise<void> {
  await page.evaluate(
    async ([url, title, sizes]) => {
      const root = await navigator.storage.getDirectory();
      const folder = await root.getDirectoryHandle(title, { create: true });
      const audio = new Uint8Array(await (await fetch(url)).arrayBuffer());
      for (const [path, size] of sizes) {
        const names = path.split('/');
        const file = names.pop()!;
        let inside = folder;
        for (const each of names) inside = await inside.getDirectoryHandle(each, { create: true });
        const stream = await (await inside.getFileHandle(file, { create: true })).createWritable();
        await stream.write(audio.slice(0, size));
        await stream.close();
      }
      const item = { kind: 'file', getAsFileSystemHandle: async () => folder };
      const event = new Event('drop', { bubbles: true, cancelable: true });
      Object.defineProperty(event, 'dataTransfer', { value: { types: ['Files'], files: [], items: [item] } });
      window.dispatchEvent(event);
    },
    [`/demo/${demo.tracks[0].file}`, name, Object.entries(files)] as const,
  );
}
