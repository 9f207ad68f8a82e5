/** What every browser test begins with: a page that tells of errors and of requests to elsewhere. */
import { expect, test as base, type Page } from '@playwright/test';

interface Watch {
  errors: string[];
  elsewhere: string[];
}

export const test = base.extend<{ watch: Watch }>({
  watch: [
    async ({ page, baseURL }, use) => {
      const watch: Watch = { errors: [], elsewhere: [] };
      page.on('pageerror', (error) => watch.errors.push(error.message));
      page.on('console', (message) => {
        if (message.type() === 'error') watch.errors.push(message.text());
      });
      page.on('request', (request) => {
        const url = new URL(request.url());
        if (!['blob:', 'data:'].includes(url.protocol) && url.origin !== new URL(baseURL!).origin) {
          watch.elsewhere.push(request.url());
        }
      });
      await use(watch);
      expect(watch.errors, 'errors on the console').toEqual([]);
      expect(watch.elsewhere, 'requests that left the origin').toEqual([]);
    },
    { auto: true },
  ],
});

export { expect };

/** Opens the app and waits until the ladder of a demo track stands. */
export async function openApp(page: Page): Promise<void> {
  await page.goto('/');
  await skipTour(page);
}

/** Waits for the ladder, and skips the tour as most people do at their first start. */
export async function skipTour(page: Page): Promise<void> {
  await expect(page.getByTestId('rung').first()).toBeVisible({ timeout: 30_000 });
  const skip = page.getByRole('button', { name: 'Skip the tour' });
  if (await skip.isVisible()) await skip.click();
}

/** Gives files to the app as its file field does. */
export async function give(page: Page, ...paths: string[]): Promise<void> {
  await page.getByTestId('file-input').setInputFiles(paths);
}

/** Pixels of the first canvas inside `selector`, shadow trees included, as a data URL; empty when there is none. */
export async function shownPixels(page: Page, selector: string): Promise<string> {
  return page
    .locator(selector)
    .first()
    .evaluate((root) => {
      const find = (node: ParentNode): HTMLCanvasElement | null => {
        for (const each of node.querySelectorAll('*')) {
          if (each instanceof HTMLCanvasElement) return each;
          const within = each.shadowRoot && find(each.shadowRoot);
          if (within) return within;
        }
        return null;
      };
      return (root instanceof HTMLCanvasElement ? root : find(root))?.toDataURL() ?? '';
    });
}

/** The picture once it stands: painted, and the same for three looks in a row. */
export async function settled(look: () => Promise<string>): Promise<string> {
  let seen: string[] = [];
  await expect
    .poll(async () => {
      seen = [...seen.slice(-2), await look()];
      return seen.length === 3 && seen[0] !== '' && new Set(seen).size === 1;
    })
    .toBe(true);
  return seen[0];
}

/** Pixels of a rung's strip or overview. */
export function rungPixels(page: Page, profile: string, part: 'strip' | 'overview'): Promise<string> {
  return shownPixels(page, `[data-profile="${profile}"] [data-testid="${part}"]`);
}

export interface Colours {
  /** Distinct opaque colours. */
  colours: number;
  /** Lengths of runs of equal columns along the picture, most frequent first. */
  columnWidth: number;
}

/** Counts colours and the usual width of one column (in CSS pixels) of a canvas given as a data URL. */
export async function describePicture(page: Page, dataUrl: string): Promise<Colours> {
  return page.evaluate(async (url) => {
    // The page's policy takes no data: URL.
    const bytes = Uint8Array.from(atob(url.slice(url.indexOf(',') + 1)), (c) => c.charCodeAt(0));
    const image = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
    const canvas = document.createElement('canvas');
    canvas.width = image.width;
    canvas.height = image.height;
    const ctx = canvas.getContext('2d')!;
    ctx.drawImage(image, 0, 0);
    const { data } = ctx.getImageData(0, 0, canvas.width, canvas.height);
    const colours = new Set<number>();
    for (let i = 0; i < data.length; i += 4) {
      if (data[i + 3] === 255) colours.add((data[i] << 16) | (data[i + 1] << 8) | data[i + 2]);
    }
    const same = (x: number) => {
      for (let y = 0; y < canvas.height; y++) {
        const at = (y * canvas.width + x) * 4;
        for (let c = 0; c < 3; c++) if (data[at + c] !== data[at - 4 + c]) return false;
      }
      return true;
    };
    const runs = new Map<number, number>();
    let run = 1;
    for (let x = 1; x < canvas.width; x++) {
      if (same(x)) run++;
      else {
        runs.set(run, (runs.get(run) ?? 0) + 1);
        run = 1;
      }
    }
    const columnWidth = [...runs].sort((a, b) => b[1] - a[1])[0]?.[0] ?? canvas.width;
    return { colours: colours.size, columnWidth };
  }, dataUrl);
}
