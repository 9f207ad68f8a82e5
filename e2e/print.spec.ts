/** The booth card on paper, as a printer gets it: its PDF read and rendered by programs that are not ours. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { inkOf, pageImage, pdfFacts } from './support/pdf.ts';
import { openCard, scratch, titles } from './support/gig.ts';
import { expect, test } from './support/page.ts';

/** mm */
const PAPERS = { a4: [210, 297], letter: [215.9, 279.4] } as const;
const MARGIN = 11;
/** mm that a rounding to points, or the edge of a letter, may take from the margin. */
const SLACK = 0.4;
const DPI = 75;

for (const [paper, [width, height]] of Object.entries(PAPERS)) {
  for (const sides of ['one', 'two'] as const) {
    test(`on ${paper}, ${sides === 'one' ? 'small' : 'large'}: size, margins, text, vectors, one ink`, async ({
      page,
    }) => {
      await openCard(page);
      await page.getByTestId('card-paper').selectOption(paper);
      await page.getByTestId('card-sides').selectOption(sides);
      const fits = await page.getByTestId('card-fits').textContent();
      const told = Number(/About (\d+) side/.exec(fits!)![1]);
      const path = join(scratch(), 'card.pdf');
      // With and without backgrounds: neither may cost ink.
      const printBackground = sides === 'two';
      writeFileSync(path, await page.pdf({ preferCSSPageSize: true, printBackground }));
      const pdf = pdfFacts(path);
      expect(pdf.width).toBeCloseTo(width, 0);
      expect(pdf.height).toBeCloseTo(height, 0);
      expect(pdf.pages).toBe(told);
      if (sides === 'one') expect(pdf.pages, 'five tracks and a booth on one side').toBe(1);
      expect(pdf.images).toBe(0);
      expect(pdf.fontsEmbedded).toBe(true);
      const text = pdf.text.join('\n').replace(/\s+/g, ' ');
      for (const title of titles) expect(text).toContain(title);
      for (const word of ['Set 1', 'at Booth 1', 'bpm', 'bar', 'Overview only']) {
        expect(text).toContain(word);
      }

      for (let n = 1; n <= pdf.pages; n++) {
        const colour = inkOf(pageImage(path, n, DPI, 'colour'));
        const grey = inkOf(pageImage(path, n, DPI, 'grey'));
        const mono = inkOf(pageImage(path, n, DPI, 'mono'));
        const { left, top, right, bottom } = colour.box!;
        expect(left * width, `left of page ${n}`).toBeGreaterThanOrEqual(MARGIN - SLACK);
        expect(top * height, `top of page ${n}`).toBeGreaterThanOrEqual(MARGIN - SLACK);
        expect((1 - right) * width, `right of page ${n}`).toBeGreaterThanOrEqual(MARGIN - SLACK);
        expect((1 - bottom) * height, `bottom of page ${n}`).toBeGreaterThanOrEqual(MARGIN - SLACK);
        // Nothing hangs on colour: there is none, and a printer without greys puts as much ink.
        expect(colour.tint, `colour on page ${n}`).toBe(0);
        expect(grey.mean / colour.mean).toBeCloseTo(1, 2);
        expect(mono.mean / colour.mean).toBeGreaterThan(0.8);
        expect(mono.mean / colour.mean).toBeLessThan(1.25);
      }
    });
  }
}

test('no track is cut by the end of a page, and each page begins with one', async ({ page }) => {
  await openCard(page);
  const path = join(scratch(), 'card.pdf');
  writeFileSync(path, await page.pdf({ preferCSSPageSize: true }));
  const { text, pages } = pdfFacts(path);
  expect(pages).toBeGreaterThan(1);
  // Title, tempo and mix points of a track stand on the same page.
  for (const title of titles) {
    const on = text.findIndex((each) => each.includes(title));
    expect(on, title).toBeGreaterThanOrEqual(0);
    const after = text[on].slice(text[on].indexOf(title));
    expect(after, title).toMatch(/^.*\n[\s\S]*?\bIN\b[\s\S]*?\bOUT\b/i);
  }
});
