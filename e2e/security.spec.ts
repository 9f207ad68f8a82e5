/** The page's policy is in force; what files and persons write is text and nothing else; nothing leaves the origin. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { demo, excerpt } from './support/files.ts';
import { expect, give, openApp, test } from './support/page.ts';

const tab = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
const scratch = () => mkdtempSync(join(tmpdir(), 'boothproof-safe-'));

/** Markup that tells when anything takes it for markup. */
const hostile = (place: string) => `<img src=x onerror="document.documentElement.dataset.hit='${place}'">`;
/** What of it became part of a page: nothing, if it was shown as text. */
const hits = (page: Page) =>
  page.evaluate(() => [
    document.querySelectorAll('img[src="x"], [onerror]').length,
    document.documentElement.dataset.hit ?? 'none',
  ]);

test('the policy stands in the page and in the header, and is in force', async ({ page, baseURL, watch }) => {
  const response = (await page.goto('/'))!;
  const header = response.headers()['content-security-policy'];
  const meta = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute('content');
  expect(header).toBe(`${meta}; frame-ancestors 'none'`);
  expect(meta).toMatch(/^default-src 'none'; /);
  expect(meta).not.toMatch(/unsafe-inline|'unsafe-eval'|data:|https?:|\*/);
  expect(response.headers()).toMatchObject({
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
  });
  // It comes before anything that it has to rule.
  expect(await page.evaluate(() => document.head.firstElementChild?.getAttribute('http-equiv'))).toBe(
    'Content-Security-Policy',
  );
  await expect(page.getByTestId('rung').first()).toBeVisible({ timeout: 30_000 });
  expect(watch.errors).toEqual([]);

  const stopped: string[] = [];
  page.on('requestfailed', (request) => {
    if (request.failure()?.errorText === 'csp') stopped.push(request.url());
  });
  const refused = await page.evaluate(
    async (elsewhere) => {
      const found: string[] = [];
      document.addEventListener('securitypolicyviolation', (event) => found.push(event.effectiveDirective));
      const script = document.createElement('script');
      script.textContent = 'document.documentElement.dataset.hit = "script"';
      document.body.append(script);
      const button = document.createElement('button');
      button.setAttribute('onclick', 'document.documentElement.dataset.hit = "handler"');
      document.body.append(button);
      button.click();
      const styled = document.createElement('div');
      styled.innerHTML = '<p style="position: fixed">x</p>';
      document.body.append(styled);
      const position = getComputedStyle(styled.firstElementChild!).position;
      const fetched = await fetch(elsewhere).then(
        () => 'yes',
        () => 'no',
      );
      const picture = document.createElement('img');
      picture.src = `${elsewhere}/x.png`;
      document.body.append(picture);
      const frame = document.createElement('iframe');
      frame.src = 'about:blank#x';
      frame.srcdoc = '<script>parent.document.documentElement.dataset.hit = "frame"</script>';
      document.body.append(frame);
      try {
        new Worker(URL.createObjectURL(new Blob(['postMessage(1)'])));
      } catch {
        // Some browsers throw, others only tell.
      }
      await new Promise((resolve) => setTimeout(resolve, 300));
      let evaluated = 'no';
      try {
        // After a wait: what a debugger runs at once may evaluate.
        evaluated = String(new (Object.getPrototypeOf(() => 0).constructor)('return "yes"')());
      } catch {
        // That is what is wanted.
      }
      const { hit = 'none' } = document.documentElement.dataset;
      return { found: [...new Set(found)].sort(), hit, position, evaluated, fetched };
    },
    baseURL!.replace('127.0.0.1', '127.0.0.2'),
  );
  expect(refused).toMatchObject({ hit: 'none', position: 'static', evaluated: 'no', fetched: 'no' });
  expect(refused.found).toEqual(
    expect.arrayContaining([
      'connect-src',
      'img-src',
      'script-src-attr',
      'script-src-elem',
      'style-src-attr',
      'worker-src',
    ]),
  );
  // These are what was provoked; the browser tells of the picture as a request that it then refused.
  expect(watch.elsewhere.every((url) => stopped.includes(url))).toBe(true);
  watch.errors.length = 0;
  watch.elsewhere.length = 0;
});

test.describe('without the policy, so that the escaping must hold by itself', () => {
  test.use({ bypassCSP: true });

  test('script in tags and names is shown as text, in every activity and in what is taken out', async ({
    page,
    browser,
    watch,
  }) => {
    test.setTimeout(240_000);
    const name = `odd ${hostile('file').replace(/\//g, '')}.mp3`;
    const title = `T${hostile('title')}`;
    const artist = `A${hostile('artist')}`;
    const file = excerpt(
      'odd.mp3',
      [
        '-b:a',
        '128k',
        '-metadata',
        `title=${title}`,
        '-metadata',
        `artist=${artist}`,
        '-metadata',
        'album=<script>1</script>',
      ],
      24,
    );
    await openApp(page);
    await page
      .getByTestId('file-input')
      .setInputFiles({ name, mimeType: 'audio/mpeg', buffer: readFileSync(file) });
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(title, { timeout: 60_000 });
    await expect(page.getByTestId('tempo')).toBeVisible({ timeout: 60_000 });
    await expect(page.getByTestId('tracks')).toContainText(title);
    expect(await hits(page)).toEqual([0, 'none']);

    // A file that cannot be read: its name stands in a sentence.
    const broken = `no ${hostile('fault').replace(/\//g, '')}.mp3`;
    await page
      .getByTestId('file-input')
      .setInputFiles({ name: broken, mimeType: 'audio/mpeg', buffer: Buffer.from('x') });
    await expect(page.getByText(broken).first()).toBeVisible();
    expect(await hits(page)).toEqual([0, 'none']);

    await tab(page, 'Mark').click();
    await expect(page.getByRole('heading', { name: 'Beat grid' })).toBeVisible();
    await page.keyboard.press('c');
    await expect(page.getByTestId('tag')).toHaveCount(1);
    const cue = page.getByTestId('marker-panel').getByRole('textbox').first();
    await cue.fill(hostile('cue').slice(0, 60));
    await cue.press('Tab');
    expect(await hits(page)).toEqual([0, 'none']);

    await tab(page, 'Gig').click();
    await page.getByRole('button', { name: 'New set' }).click();
    await page.getByRole('button', { name: 'New booth' }).click();
    for (const [label, text] of [
      ['Name of the set', `S${hostile('set')}`],
      ['Name of the booth', `B${hostile('booth')}`],
    ]) {
      await page.getByLabel(label).fill(text);
      await page.getByLabel(label).press('Tab');
    }
    await page.getByTestId('source-track').filter({ hasText: title }).getByRole('button').first().click();
    await expect(page.getByTestId('entry')).toHaveCount(1);
    await expect(page.getByTestId('entry')).toContainText(title);
    await tab(page, 'Check').click();
    await expect(page.getByTestId('score')).toBeVisible({ timeout: 60_000 });
    expect(await hits(page)).toEqual([0, 'none']);

    await tab(page, 'Card').click();
    await expect(page.getByTestId('card-sheet')).toContainText(title);
    await expect(page.getByTestId('card-sheet')).toContainText(artist);
    expect(await hits(page)).toEqual([0, 'none']);
    const folder = scratch();
    const [card] = await Promise.all([page.waitForEvent('download'), page.getByTestId('card-save').click()]);
    await card.saveAs(join(folder, 'card.html'));

    await tab(page, 'Take along').click();
    await expect(page.getByTestId('take-along')).toContainText(title, { timeout: 60_000 });
    expect(await hits(page)).toEqual([0, 'none']);
    const [zip] = await Promise.all([
      page.waitForEvent('download', { timeout: 120_000 }),
      page.getByTestId('take-zip').click(),
    ]);
    for (const saved of [card, zip])
      expect(saved.suggestedFilename()).toMatch(/^[^<>:"/\\|?*]+\.(html|zip)$/);
    await zip.saveAs(join(folder, 'set.zip'));
    const names = execFileSync('unzip', ['-Z1', join(folder, 'set.zip')], { encoding: 'utf8' })
      .split('\n')
      .filter(Boolean);
    expect(names.length).toBeGreaterThan(2);
    for (const each of names) expect(each).not.toMatch(/[<>:"\\|?*]|\.\.|^\//);
    execFileSync('unzip', ['-q', join(folder, 'set.zip'), '-d', folder]);

    // As other pages: with scripts on, and without the policy that each brings along.
    const context = await browser.newContext({ bypassCSP: true });
    const cards = ['card.html', ...names.filter((each) => each.endsWith('.html'))];
    expect(cards.length).toBeGreaterThan(1);
    for (const each of cards) {
      const saved = await context.newPage();
      await saved.goto(`file://${join(folder, each)}`);
      await expect(saved.getByRole('heading', { level: 2, name: title })).toBeVisible();
      await expect(saved.getByRole('heading', { level: 1 })).toHaveText(`S${hostile('set')}`);
      expect(await saved.title()).toContain(`B${hostile('booth')}`);
      expect(await hits(saved)).toEqual([0, 'none']);
    }
    await context.close();
    expect(watch.errors).toEqual([]);
  });
});

test('over the whole job nothing is asked of anyone but the origin, by page or worker', async ({
  page,
  context,
  baseURL,
}) => {
  test.setTimeout(240_000);
  const asked: string[] = [];
  const violations: string[] = [];
  context.on('request', (request) => asked.push(request.url()));
  page.on('websocket', (socket) => asked.push(socket.url()));
  await page.exposeFunction('violated', (what: string) => violations.push(what));
  await page.addInitScript(() =>
    document.addEventListener('securitypolicyviolation', ({ violatedDirective, blockedURI }) =>
      (window as unknown as { violated(what: string): void }).violated(`${violatedDirective} ${blockedURI}`),
    ),
  );
  await openApp(page);
  await expect(page.getByTestId('second-opinion')).toContainText('124', { timeout: 60_000 });
  await give(
    page,
    excerpt('all-of-it.ogg', ['-c:a', 'libvorbis'], 24),
    excerpt('all-of-it.m4a', ['-c:a', 'aac'], 24),
  );
  await expect(page.getByTestId('tracks').getByRole('listitem')).toHaveCount(demo.tracks.length + 2, {
    timeout: 60_000,
  });
  await page.getByTestId('keep-audio').getByRole('button', { name: 'Keep audio here' }).click();
  await expect(page.getByTestId('play')).toBeEnabled();
  await page.getByTestId('play').click();
  await expect(page.getByTestId('clock')).not.toHaveText('0:00.0');
  await page.getByTestId('play').click();
  await page.getByRole('button', { name: 'Propose from sections' }).click();
  await tab(page, 'Mark').click();
  await expect(page.getByRole('heading', { name: 'Beat grid' })).toBeVisible();
  await tab(page, 'Train').click();
  await page.getByTestId('start').click();
  await expect(page.getByTestId('confirm').or(page.getByTestId('question'))).toBeVisible({ timeout: 30_000 });
  await tab(page, 'Gig').click();
  await page.getByRole('button', { name: 'New set' }).click();
  await page.getByRole('button', { name: 'New booth' }).click();
  await page.getByTestId('add-all').click();
  await tab(page, 'Check').click();
  await expect(page.getByTestId('score')).toBeVisible({ timeout: 60_000 });
  await tab(page, 'Card').click();
  await expect(page.getByTestId('card-sheet')).toBeVisible();
  const [card] = await Promise.all([page.waitForEvent('download'), page.getByTestId('card-save').click()]);
  expect(await card.failure()).toBeNull();
  for (const name of ['Decks', 'Help']) await tab(page, name).click();

  // The sound of the demo, the app's parts and its workers were asked for, so the list is not empty by accident.
  const paths = asked.map((url) => new URL(url));
  for (const part of [/^\/assets\/.*\.js$/, /^\/assets\/entry-.*\.js$/, /^\/demo\//]) {
    expect(
      paths.some(({ pathname }) => part.test(pathname)),
      String(part),
    ).toBe(true);
  }
  const elsewhere = asked.filter(
    (url) => !url.startsWith(`${baseURL}/`) && !url.startsWith(`blob:${baseURL}/`),
  );
  expect(elsewhere).toEqual([]);
  expect(violations).toEqual([]);
});
