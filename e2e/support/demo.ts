/** The app with all of its demo set, which comes in track by track at the first start. */
import type { Page } from '@playwright/test';
import { demo } from './files.ts';
import { expect, openApp } from './page.ts';

/** Opens the app and waits until nothing more comes in: what is counted, chosen or compared then stays so. */
export async function openAll(page: Page): Promise<void> {
  await openApp(page);
  await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(demo.tracks.length);
}
