/** Keyboard only, a small screen, and fingers; what holds on every screen is in everywhere.spec.ts. */
import { expect, openApp, settled, shownPixels, test } from './support/page.ts';

test('the ladder is worked by keyboard alone', async ({ page }) => {
  // A first start, so the way leads past the first steps.
  await page.goto('/');
  await expect(page.getByTestId('tour')).toBeVisible({ timeout: 30_000 });
  const label = () => page.getByTestId('place').getAttribute('aria-valuetext');
  const axisPicture = () => shownPixels(page, '[data-testid="time-axis"]');

  await page.keyboard.press('Tab');
  await expect(page.locator('a.skip')).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(page.locator('main')).toBeFocused();
  await page.keyboard.press('Tab');
  await page.keyboard.press('Tab');
  await expect(page.getByRole('button', { name: 'Skip the tour' })).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(page.locator('main')).toBeFocused();

  const whole = await settled(axisPicture);
  for (let i = 0; i < 5; i++) await page.keyboard.press('+');
  await expect.poll(axisPicture).not.toBe(whole);
  await page.keyboard.press('0');
  await expect.poll(axisPicture).toBe(whole);

  await page.keyboard.press('Space');
  await expect(page.getByTestId('play')).toHaveText('Pause');
  await page.keyboard.press('Space');
  await expect(page.getByTestId('play')).toHaveText('Play');
  await page.keyboard.press('Home');
  await expect.poll(label).toContain('0:00.0');
  await page.keyboard.press('End');
  await expect.poll(label).not.toContain('0:00.0');

  // The playhead is a slider: by a beat, by a bar.
  await page.keyboard.press('Home');
  await page.getByTestId('place').focus();
  await page.keyboard.press('PageUp');
  const bar = Number(/0:0(\d\.\d)/.exec((await label())!)![1]);
  expect(bar).toBeCloseTo(240 / 124, 0);
  await page.keyboard.press('ArrowLeft');
  await expect.poll(async () => Number(/0:0(\d\.\d)/.exec((await label())!)![1])).toBeLessThan(bar);

  // Every control can be reached and shows where the focus is.
  await page.getByRole('button', { name: 'Move Wide touch down' }).focus();
  await page.keyboard.press('Enter');
  await expect(page.getByTestId('rung').first()).toHaveAttribute('data-profile', 'small-touch');
});

test('390 px wide: everything is there, and the transport in reach', async ({ page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await openApp(page);
  await expect(page.getByTestId('rung')).toHaveCount(4);
  await expect(page.getByTestId('play')).toBeInViewport();
  await page.getByRole('button', { name: 'Decks' }).click();
  await expect(page.getByRole('heading', { name: 'Wide touch' })).toBeVisible();
});

test('a finger taps to seek and two fingers zoom', async ({ browser, baseURL }) => {
  const context = await browser.newContext({
    baseURL,
    hasTouch: true,
    isMobile: true,
    viewport: { width: 390, height: 844 },
  });
  const page = await context.newPage();
  await openApp(page);
  const strip = page.locator('[data-profile="wide-touch"] [data-testid="strip"]');
  await strip.scrollIntoViewIfNeeded();
  const box = (await strip.boundingBox())!;
  await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
  await expect(page.getByTestId('clock')).toHaveText(/^2:2\d/);
  const session = await context.newCDPSession(page);
  const y = box.y + box.height / 2;
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', gap: number) =>
    session.send('Input.dispatchTouchEvent', {
      type,
      touchPoints:
        type === 'touchEnd'
          ? []
          : [
              { x: box.x + box.width / 2 - gap / 2, y, id: 1 },
              { x: box.x + box.width / 2 + gap / 2, y, id: 2 },
            ],
    });
  const part = page.locator('[data-profile="wide-touch"] .part');
  await expect(part).toHaveCount(0);
  await touch('touchStart', 40);
  for (let gap = 60; gap <= 240; gap += 30) await touch('touchMove', gap);
  await touch('touchEnd', 0);
  await expect(part).toBeVisible();
  await context.close();
});
