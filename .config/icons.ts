/** Draws the app's icons from its mark: `npx tsx .config/icons.ts`. Needed only when `src/mark.svg` changes. */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright';
import { chromiumPath } from '../tests/setup/system.ts';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const mark = readFileSync(here('../src/mark.svg'), 'utf8');
const ground = /<rect[^>]*fill="(#[0-9a-f]{6})"/.exec(mark)![1];

/** A system may cut a maskable icon to a circle of 80 % (https://www.w3.org/TR/appmanifest/#icon-masks). */
const SAFE = 0.8;

const browser = await chromium.launch({
  executablePath: chromiumPath() ?? undefined,
  args: ['--no-sandbox'],
});
const page = await browser.newPage();
for (const [name, size, inner] of [
  ['icon-192', 192, 1],
  ['icon-512', 512, 1],
  ['icon-maskable-512', 512, SAFE],
] as const) {
  await page.setViewportSize({ width: size, height: size });
  const background = inner < 1 ? ground : 'transparent';
  await page.setContent(
    `<body style="margin:0;background:${background};display:grid;place-content:center;height:100vh">${mark.replace('<svg ', `<svg width="${size * inner}" `)}</body>`,
  );
  writeFileSync(here(`../src/offline/icons/${name}.png`), await page.screenshot({ omitBackground: true }));
}
await browser.close();
