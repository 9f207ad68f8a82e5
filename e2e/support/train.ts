/** What tests of reading drills share. */
import type { Page } from '@playwright/test';
import { openAll } from './demo.ts';
import { expect } from './page.ts';

/** Opens the app and a session of reading drills, at its first question. */
export async function startSession(page: Page): Promise<void> {
  await openAll(page);
  await beginSession(page);
}

/** Begins a session in the app as it stands. */
export async function beginSession(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  // Hand drills have their own tests.
  await page.getByTestId('with-hands').uncheck();
  await page.getByTestId('start').click();
  await comeToQuestion(page);
}

/** Leaves out the tracks that a session asks about first, and waits for its first question. */
export async function comeToQuestion(page: Page): Promise<void> {
  // Tracks that are not sure are asked about first; they are left out.
  const confirm = page.getByTestId('confirm');
  const question = page.getByTestId('question');
  await expect(confirm.or(question)).toBeVisible({ timeout: 30_000 });
  while (await confirm.isVisible()) {
    const about = (await confirm.locator('p').first().textContent())!;
    await confirm.getByRole('button', { name: /^Leave this track out/ }).click();
    await expect(confirm.getByText(about)).toHaveCount(0);
    await expect(confirm.or(question)).toBeVisible();
  }
  await expect(question).toBeVisible();
}

/** Answers the open question by keyboard alone. */
export async function answerByKeys(page: Page): Promise<void> {
  const question = page.getByTestId('question');
  const choice = question.locator('input[name="drill-option"], input[name="drill-word"]').first();
  if (await choice.count()) {
    await choice.focus();
    await page.keyboard.press('Space');
  } else if (await question.getByTestId('bars').count()) {
    await question.getByTestId('bars').focus();
    await page.keyboard.type('1');
  } else if (await question.getByTestId('time-answer').count()) {
    await question.getByTestId('time-answer').focus();
    await page.keyboard.type('0:30');
  } else {
    await question.getByRole('slider').focus();
    for (let i = 0; i < 6; i++) await page.keyboard.press('Shift+ArrowRight');
    await expect(question.getByRole('slider')).toHaveAttribute('aria-valuetext', /^column \d+ of \d+$/);
  }
  await question.locator('input[name="drill-confidence"]').first().focus();
  await page.keyboard.press('Space');
  await question.getByTestId('answer').focus();
  await page.keyboard.press('Enter');
  await expect(page.getByTestId('result')).toBeVisible();
}
