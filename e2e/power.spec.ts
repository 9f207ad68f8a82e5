/**
 * The browser is killed at random moments in the middle of edits. The database opens, and nothing that was on the
 * screen for longer than a second is lost. A few cuts in each run; `POWER_CUTS=50` makes fifty.
 */
import { seeded } from '../tests/fixtures/signal.ts';
import { expect, skipTour, test } from './support/page.ts';
import { browserFolder, powerOn } from './support/power.ts';

const CUTS = Number(process.env.POWER_CUTS ?? 3);
/** ms that an edit may wait for being written */
const MAY_BE_LOST_MS = 1000;
/** Each edit types a tempo of its own, so that the tempo tells which edit was the last. */
const tempoOf = (edit: number) => (100 + edit / 1000).toFixed(3);
const editOf = (text: string) => Math.round((parseFloat(text) - 100) * 1000);

/** Runs in the page. */
const shows = (text: string) => document.querySelector('[data-testid="tempo"]')?.textContent?.trim() === text;
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

test(`the browser is killed ${CUTS} times while editing`, async ({ baseURL }) => {
  test.setTimeout(60_000 + CUTS * 30_000);
  const random = seeded(Number(process.env.POWER_SEED ?? 1));
  const folder = await browserFolder();
  let edit = 0;
  let cutAt = 0;
  /** When each edit was seen on the screen, ms. */
  const seen: { edit: number; at: number }[] = [];
  try {
    for (let cut = 0; ; cut++) {
      const { page, cut: powerCut } = await powerOn(folder.path);
      const errors: string[] = [];
      page.on('pageerror', (error) => errors.push(error.message));
      await page.goto(baseURL!);
      await skipTour(page);
      await page.getByRole('button', { name: 'Mark', exact: true }).click();
      const undo = page.getByTestId('grid-panel').getByRole('button', { name: 'Undo' });
      const field = page.getByTestId('tempo-field');
      const tempo = page.getByTestId('tempo');
      await expect(page.getByRole('button', { name: 'Lock the grid' })).toBeEnabled();
      if (cut > 0) {
        // What came before is there, and can still be undone.
        await expect(undo).toBeEnabled();
        const kept = editOf(await tempo.innerText());
        const due = seen.findLast(({ at }) => at < cutAt - MAY_BE_LOST_MS)?.edit ?? 0;
        expect(kept, `cut ${cut}`).toBeGreaterThanOrEqual(due);
        expect(kept, `cut ${cut}`).toBeLessThanOrEqual(edit);
      }
      expect(errors).toEqual([]);
      if (cut === CUTS) {
        await powerCut();
        break;
      }
      cutAt = 0;
      const dead = pause(500 + 4500 * random()).then(() => {
        cutAt = Date.now();
        return powerCut();
      });
      const died = () => cutAt > 0;
      try {
        while (!died()) {
          edit++;
          await field.fill(tempoOf(edit));
          await field.press('Enter');
          await page.waitForFunction(shows, `${tempoOf(edit)} bpm`);
          seen.push({ edit, at: Date.now() });
          await pause(250 * random());
        }
      } catch (error) {
        // The page dies in the middle of a press; anything else is an error.
        if (!died()) throw error;
      }
      await dead;
    }
    expect(seen.length).toBeGreaterThan(CUTS * 2);
    console.log(`${CUTS} cuts in ${seen.length} edits`);
  } finally {
    await folder.remove();
  }
});
