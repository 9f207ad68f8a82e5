/**
 * The card's own style sheet, as text: the app's preview, the print and the saved page share it, so they cannot
 * differ. Sizes in points for paper; nothing smaller than 11 pt, which is read at arm's length (common practice, no
 * source).
 */

export type CardPaper = 'a4' | 'letter' | 'phone';
export type CardSides = 'one' | 'two';

/** mm */
export const PAPER_SIZES = {
  a4: { width: 210, height: 297 },
  letter: { width: 215.9, height: 279.4 },
} as const;
/** mm; what most printers leave free on each edge (estimate). */
export const MARGIN = 11;

export const CARD_CSS = `
.bc { --bc-ink: #000; --bc-paper: #fff; --bc-line: #000; box-sizing: border-box; color: var(--bc-ink);
  background: var(--bc-paper); font: 11pt/1.25 ui-sans-serif, system-ui, 'Segoe UI', 'Noto Sans', 'DejaVu Sans', sans-serif;
  text-align: left; overflow-wrap: anywhere; }
.bc *, .bc *::before { box-sizing: border-box; }
.bc h1, .bc h2, .bc h3, .bc h4, .bc p, .bc ul, .bc ol, .bc dl, .bc dd { margin: 0; padding: 0; }
.bc h1, .bc h2, .bc h3, .bc h4 { font-family: inherit; font-weight: 700; line-height: 1.15; color: inherit; }
.bc ul, .bc ol { list-style: none; }
.bc-head { border-bottom: 1.5pt solid var(--bc-line); padding-bottom: 4pt; margin-bottom: 6pt; }
.bc-head .bc-name { font-size: 18pt; }
.bc-head p { white-space: pre-line; }
.bc-track { break-inside: avoid; border-bottom: .75pt solid var(--bc-line); padding: 0 0 5pt; margin: 0 0 6pt; }
.bc-title { display: flex; align-items: baseline; gap: 6pt; }
.bc-number { font-size: 18pt; font-weight: 800; min-width: 1.6em; font-variant-numeric: tabular-nums; }
.bc-title > div { min-width: 0; }
.bc-title .bc-name { font-size: 14pt; }
.bc-facts, .bc-mix, .bc-cues, .bc-marks { display: flex; flex-wrap: wrap; gap: 0 10pt; font-variant-numeric: tabular-nums; }
.bc-mix { margin-top: 2pt; font-size: 12.5pt; }
.bc-mix div { display: flex; gap: 4pt; align-items: baseline; }
.bc-mix dt { font-weight: 800; text-transform: uppercase; border: 1.25pt solid var(--bc-line); padding: 0 3pt; }
.bc-mix dd b, .bc-cues b { font-weight: 700; }
.bc-cues { margin-top: 3pt; gap: 3pt 10pt; }
.bc-cues li { display: flex; align-items: center; gap: 4pt; }
.bc-slot { display: inline-block; min-width: 18pt; padding: 1pt 3pt; border: 1.5pt solid var(--bc-line); text-align: center;
  font-size: 15pt; font-weight: 800; line-height: 1; }
.bc-swatch { display: none; }
.bc-strip { display: block; margin-top: 3pt; font-family: inherit; overflow: visible; }
.bc-halo { stroke: var(--bc-paper); }
.bc-hollow { fill: var(--bc-paper); }
.bc-marks b { font-weight: 800; }
.bc-warnings { margin-top: 3pt; border-left: 4pt double var(--bc-line); padding-left: 5pt !important; }
.bc-note { margin-top: 3pt; white-space: pre-line; }
.bc-deck { break-inside: avoid; margin: 0 0 6pt; }
.bc-deck li { padding-left: 12pt; position: relative; }
.bc-deck li::before { content: ''; position: absolute; left: 1pt; top: .42em; width: 6pt; height: 6pt; border: 1pt solid var(--bc-line); }
.bc-decks > .bc-name { font-size: 14pt; margin-bottom: 3pt; break-after: avoid; }
.bc-legend { margin: 0 0 6pt !important; }
.bc-jump { display: none; }
.bc-one .bc-body { columns: 2; column-gap: 7mm; column-rule: .75pt solid var(--bc-line); }
.bc-two { font-size: 12pt; }
.bc-two .bc-title .bc-name { font-size: 16pt; }
.bc-two .bc-mix { font-size: 15pt; }
.bc-two .bc-slot { font-size: 18pt; min-width: 22pt; }
.bc-two .bc-track { padding-bottom: 7pt; margin-bottom: 8pt; }
/* The last side too is filled column by column, so that nothing goes onto another one while there is room. */
@media print { .bc-one .bc-body { column-fill: auto; } }
@media screen {
  .bc-phone { --bc-ink: #d8bf9c; --bc-paper: #0b0806; --bc-line: #7d6850; font-size: 19px; line-height: 1.35; padding: 14px;
    max-width: 480px; }
  .bc-phone .bc-head .bc-name { font-size: 24px; }
  .bc-phone .bc-title .bc-name { font-size: 25px; }
  .bc-phone .bc-number { font-size: 30px; }
  .bc-phone .bc-mix { flex-direction: column; font-size: 25px; gap: 4px; }
  .bc-phone .bc-mix dt { min-width: 3em; text-align: center; }
  .bc-phone .bc-cues { flex-direction: column; font-size: 22px; gap: 6px; }
  .bc-phone .bc-slot { font-size: 30px; min-width: 46px; padding: 6px; }
  .bc-phone .bc-swatch { display: inline-block; flex: none; opacity: .7; }
  .bc-phone .bc-wave { opacity: .55; }
  .bc-phone .bc-decks > .bc-name { font-size: 25px; }
  .bc-phone .bc-deck-name { font-size: 22px; margin-top: 8px; }
  .bc-phone .bc-marks { flex-direction: column; }
  .bc-phone .bc-track { padding-bottom: 18px; margin-bottom: 18px; scroll-margin-top: 8px; }
  .bc-phone .bc-jump { display: flex; flex-wrap: wrap; gap: 8px; margin-bottom: 18px; }
  .bc-phone .bc-jump a { min-width: 46px; min-height: 46px; line-height: 42px; text-align: center; font-size: 22px; color: inherit;
    border: 2px solid var(--bc-line); text-decoration: none; }
  .bc-phone .bc-jump a:focus-visible { outline: 3px solid var(--bc-ink); }
}
`;

/** Size and margins of the sheet for the printer. */
export function pageCss(paper: CardPaper): string {
  // A card for the phone that is printed all the same goes on whatever paper there is.
  const size = paper === 'a4' ? 'size: A4; ' : paper === 'letter' ? 'size: letter; ' : '';
  return `@page { ${size}margin: ${MARGIN}mm; }\n`;
}

/** Prints the card and nothing else of the app: what neither is in the card nor around it is taken out. */
export const PRINT_ONLY_CARD_CSS = `
@media print {
  /* A dark scheme would fill the margins where backgrounds are printed. */
  :root { color-scheme: light !important; }
  html, body { background: #fff !important; color: #000 !important; margin: 0 !important; }
  body *:not(:has(.bc), .bc, .bc *) { display: none !important; }
  body *:has(.bc) { display: block !important; position: static !important; overflow: visible !important; width: auto !important;
    max-width: none !important; height: auto !important; max-height: none !important; min-height: 0 !important;
    margin: 0 !important; padding: 0 !important; border: 0 !important; background: none !important; box-shadow: none !important;
    transform: none !important; }
  .bc { width: auto !important; min-height: 0 !important; padding: 0 !important; border: 0 !important; }
}
`;

/** For the saved page, which has nothing around its card. */
export const SAVED_PAGE_CSS = `
body { margin: 0; background: #fff; }
@media screen {
  body.phone { background: #0b0806; }
  body.paper { background: #ddd; }
  body.paper .bc { margin: 0 auto; padding: ${MARGIN}mm; max-width: 216mm; }
  body.phone .bc { margin: 0 auto; }
}
`;
