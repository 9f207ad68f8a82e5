/** First steps, decks in plain words, the glossary and the list of keys. */
import type { Page } from '@playwright/test';
import { KEY_GROUPS } from '../src/shell/key-groups.ts';
import { checkAccess } from './support/axe.ts';
import { expect, openApp, test } from './support/page.ts';

const tab = (page: Page, name: string) => page.getByRole('button', { name, exact: true });

async function firstStart(page: Page) {
  await page.goto('/');
  await expect(page.getByTestId('tour')).toBeVisible({ timeout: 30_000 });
}

/** Outline of what a step speaks of. */
const frame = (page: Page, place: string) =>
  page.locator(`[data-tour-place="${place}"]`).evaluate((element) => getComputedStyle(element).outlineStyle);

test('a first start shows three steps, each with what it speaks of framed; they come once, and again from Help', async ({
  page,
}) => {
  await firstStart(page);
  const tour = page.getByTestId('tour');
  for (const [n, place] of ['ladder', 'markers', 'activities'].entries()) {
    await expect(tour).toContainText(`Step ${n + 1} of 3`);
    await expect.poll(() => frame(page, place)).toBe('dashed');
    expect((await checkAccess(page)).violations).toEqual([]);
    // The app goes on beside it: nothing is covered.
    await expect(page.getByTestId('play')).toBeEnabled();
    await page.getByTestId('tour-next').click();
  }
  await expect(tour).toHaveCount(0);
  expect(await frame(page, 'activities')).toBe('none');
  await page.waitForTimeout(1200);
  await page.reload();
  await expect(page.getByTestId('rung').first()).toBeVisible();
  await expect(tour).toHaveCount(0);
  await tab(page, 'Help').click();
  await page.getByRole('button', { name: 'Show the first steps again' }).click();
  await expect(tour).toContainText('Step 1 of 3');
});

test('it can be skipped by keyboard, and stays skipped', async ({ page }) => {
  await firstStart(page);
  await page.getByRole('button', { name: 'Skip the tour' }).focus();
  await page.keyboard.press('Enter');
  await expect(page.getByTestId('tour')).toHaveCount(0);
  await page.waitForTimeout(1200);
  await page.reload();
  await expect(page.getByTestId('rung').first()).toBeVisible();
  await expect(page.getByTestId('tour')).toHaveCount(0);
});

test('each rung says what its deck shows and hides; its terms lead to the glossary, which is searched', async ({
  page,
}) => {
  await openApp(page);
  for (const [id, line] of [
    ['wide-touch', 'Bass, middle and treble have a colour each'],
    ['overview-only', 'there is no scrolling waveform'],
  ]) {
    const rung = page.locator(`[data-testid="rung"][data-profile="${id}"]`);
    await rung.getByTestId('explain').click();
    await expect(rung.getByTestId('explain')).toHaveAttribute('aria-expanded', 'true');
    await expect(rung.getByTestId('deck-guide')).toContainText(line);
  }
  const { violations, passed } = await checkAccess(page);
  expect(violations).toEqual([]);
  expect(passed).toBeGreaterThan(20);

  await page
    .getByTestId('deck-guide')
    .first()
    .getByRole('link', { name: 'overview', exact: true })
    .first()
    .click();
  await expect(page.getByRole('heading', { name: 'Glossary' })).toBeVisible();
  await expect(page.locator('#term-overview')).toBeFocused();
  await expect(page.locator('#term-overview')).toBeInViewport();

  await page.getByTestId('glossary-search').fill('hot cue');
  await expect(page.getByTestId('term').first()).toContainText('Hot cue');
  // A term that the search has left out is there again when it is led to.
  await page.getByTestId('term').first().getByRole('link', { name: 'Slot', exact: true }).click();
  await expect(page.locator('#term-slot')).toBeFocused();
  await page.getByTestId('glossary-search').fill('zzz');
  await expect(page.getByText('No term has “zzz” in it. Try a shorter word.')).toBeVisible();
  expect((await checkAccess(page)).violations).toEqual([]);
});

test('the help page lists every key of the tables', async ({ page }) => {
  await openApp(page);
  await tab(page, 'Help').click();
  const listed = await page.getByTestId('keys').locator('dt').allTextContents();
  expect(listed).toEqual(KEY_GROUPS.flatMap(({ rows }) => rows.map(({ keys }) => keys)));
  const told = await page.getByTestId('keys').locator('dd').allTextContents();
  expect(told).toEqual(KEY_GROUPS.flatMap(({ rows }) => rows.map(({ does }) => does)));
});
