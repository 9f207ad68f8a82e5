/** A file that is being read, held in the middle: for what the page shows meanwhile. */
import type { Page } from '@playwright/test';

type Held = { held: (() => void)[] | null };

/** From the next page load on, what workers tell after their first picture of a track waits until it is let go on. */
export async function holdReading(page: Page): Promise<void> {
  await page.addInitScript(() => {
    // Only for this visit.
    if (sessionStorage.getItem('held')) return;
    sessionStorage.setItem('held', 'once');
    const hold = window as unknown as Held;
    hold.held = [];
    // One worker, so that other files wait.
    Object.defineProperty(navigator, 'hardwareConcurrency', { value: 2 });
    let begun = false;
    const add = EventTarget.prototype.addEventListener;
    const remove = EventTarget.prototype.removeEventListener;
    const late = new WeakMap<object, EventListener>();
    Worker.prototype.addEventListener = function (this: Worker, type: string, listener: EventListener) {
      if (type !== 'message') return add.call(this, type, listener);
      const later = (event: Event) => {
        if (hold.held && begun) hold.held.push(() => listener.call(this, event));
        else listener.call(this, event);
        begun ||= (event as MessageEvent<{ type: string }>).data.type === 'early';
      };
      late.set(listener, later);
      add.call(this, type, later);
    } as typeof Worker.prototype.addEventListener;
    Worker.prototype.removeEventListener = function (this: Worker, type: string, listener: EventListener) {
      remove.call(this, type, late.get(listener) ?? listener);
    } as typeof Worker.prototype.removeEventListener;
  });
}

/** Everything that was held back is told, in order, and nothing is held any more. */
export async function letReadingGoOn(page: Page): Promise<void> {
  await page.evaluate(() => {
    const hold = window as unknown as Held;
    const { held } = hold;
    hold.held = null;
    held?.forEach((tell) => tell());
  });
}
