/** What a screen reader is told: the words of live regions as they change, in order. */
import type { Page } from '@playwright/test';
import { expect } from './page.ts';

/** Listens from the next page load on. */
export async function listenForWords(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const said: string[] = [];
    (window as unknown as { said: string[] }).said = said;
    const live = '[role="status"], [role="alert"], [aria-live="polite"], [aria-live="assertive"]';
    new MutationObserver((changes) => {
      const regions = new Set<Element>();
      for (const { target, addedNodes } of changes) {
        const element = target instanceof Element ? target : target.parentElement;
        const around = element?.closest(live);
        if (around) regions.add(around);
        for (const node of addedNodes) {
          if (!(node instanceof Element)) continue;
          if (node.matches(live)) regions.add(node);
          for (const within of node.querySelectorAll(live)) regions.add(within);
        }
      }
      for (const region of regions) {
        const text = (region.textContent ?? '').replace(/\s+/g, ' ').trim();
        if (region.isConnected && text && said.at(-1) !== text) said.push(text);
      }
    }).observe(document, { subtree: true, childList: true, characterData: true });
  });
}

/** Waits until a live region has said it since the last time this was asked. */
export async function expectSaid(page: Page, words: RegExp): Promise<void> {
  const said = () => page.evaluate(() => (window as unknown as { said: string[] }).said);
  await expect
    .poll(async () => (await said()).some((text) => words.test(text)), {
      message: `a live region says ${words}`,
      timeout: 60_000,
    })
    .toBe(true);
  await page.evaluate(() => (window as unknown as { said: string[] }).said.splice(0));
}
