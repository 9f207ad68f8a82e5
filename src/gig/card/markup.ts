/** The booth card as markup: from the card's model, by no other way, so that preview, print and saved page agree. */
import type {
  Card,
  CardCue,
  CardDeck,
  CardMark,
  CardPoint,
  CardTrack,
} from '../../../shared/gig/card/card.ts';
import { findingSentence, severityWord } from '../../../shared/gig/check/words.ts';
import { clock } from '../../ladder/view.ts';
import { escapeHtml } from './escape.ts';
import { stripSvg } from './strip-svg.ts';
import { CARD_CSS, pageCss, SAVED_PAGE_CSS, type CardPaper, type CardSides } from './style.ts';
import { words } from './words.ts';

export interface CardLook {
  paper: CardPaper;
  sides: CardSides;
}

const text = escapeHtml;
const COLOUR = /^#[0-9a-f]{6}$/i;
const LETTERS = 26;

/** `a`…`z`, then numbers. */
const letter = (i: number) => (i < LETTERS ? String.fromCharCode(97 + i) : String(i + 1));
const joined = (parts: readonly (string | false | null)[]) => parts.filter(Boolean).join('');

/**
 * The card itself, one element.
 * @param top level of the card's own heading; the tracks' are one and two below it
 */
export function cardMarkup(card: Card, look: CardLook, top: 1 | 2 = 2): string {
  const head = (level: number, inner: string, name = 'bc-name') =>
    `<h${top + level} class="${name}">${inner}</h${top + level}>`;
  const looks = look.paper === 'phone' ? 'bc-phone' : `bc-${look.sides}`;
  // The worst alone where little room is wanted.
  const most = look.paper !== 'phone' && look.sides === 'one' ? 1 : Infinity;
  const tracks = card.tracks.map((track) => trackMarkup(track, card, head, most)).join('');
  const decks = card.decks.map((deck) => deckMarkup(deck, head)).join('');
  const jump = card.tracks
    .map(
      ({ number, title }) =>
        `<a href="#bc-${number}" aria-label="${text(`${number} ${title}`)}">${number}</a>`,
    )
    .join('');
  return joined([
    `<article class="bc ${looks}" aria-label="${text(words.card)}">`,
    `<header class="bc-head">${head(0, text(card.setName))}<p>${text(words.at(card.boothName))}</p>`,
    card.boothNotes !== '' && `<p>${text(card.boothNotes)}</p>`,
    '</header>',
    card.tracks.length > 1 && `<nav class="bc-jump" aria-label="${text(words.tracks)}">${jump}</nav>`,
    // One flow, so that what follows the tracks fills up their last column.
    '<div class="bc-body">',
    `<section class="bc-tracks" aria-label="${text(words.tracks)}">${tracks}</section>`,
    legend(card),
    `<section class="bc-decks">${head(1, text(words.decks))}${decks || `<p>${text(words.noDecks)}</p>`}</section>`,
    '</div></article>',
  ]);
}

function legend({ tracks, worstDeck }: Card): string {
  const strip = tracks.find((track) => track.strip)?.strip;
  if (!strip || !worstDeck) return '';
  const tones =
    strip.kind === 'three-band' ? words.bandsLegend : strip.colourSteps > 1 ? words.toneLegend : '';
  return `<p class="bc-legend">${text(`${words.stripLegend(worstDeck.name)} ${tones}`.trim())}</p>`;
}

type Head = (level: number, inner: string, name?: string) => string;

function trackMarkup(track: CardTrack, card: Card, head: Head, most: number): string {
  const { number, title, artist, tempo, key, duration, note } = track;
  const facts = [
    artist || null,
    duration === null ? null : tempo === null ? words.noTempo : words.bpm(tempo.toFixed(1)),
    duration === null ? null : (key ?? words.noKey),
    duration === null ? words.noLength : clock(duration),
  ];
  const shown = facts.flatMap((fact) => (fact === null ? [] : `<span>${text(fact)}</span>`));
  return joined([
    `<section class="bc-track" id="bc-${number}">`,
    `<div class="bc-title"><span class="bc-number">${number}</span><div>${head(1, text(title))}`,
    `<p class="bc-facts">${shown.join('')}</p></div></div>`,
    `<dl class="bc-mix">${mixPoint(words.mixIn, track.mixIn)}${mixPoint(words.mixOut, track.mixOut)}</dl>`,
    cuesMarkup(track),
    track.strip &&
      duration !== null &&
      stripSvg({
        columns: track.strip,
        duration,
        title: words.strip(title, card.worstDeck?.name ?? ''),
        mixIn: track.mixIn?.time ?? null,
        mixOut: track.mixOut?.time ?? null,
        marks: track.marks.map(({ time, shown }, i) => ({ time, shown, label: letter(i) })),
        cues: track.cues,
      }),
    marksMarkup(track.marks),
    warningsMarkup(track, most),
    note !== '' && `<p class="bc-note"><b>${text(words.note)}:</b> ${text(note)}</p>`,
    '</section>',
  ]);
}

const place = ({ time, place }: CardPoint): string =>
  `<b>${clock(time, 1)}</b>${place ? ` ${text(words.bar(place))}` : ''}`;

const mixPoint = (label: string, point: CardPoint | null): string =>
  `<div><dt>${text(label)}</dt><dd>${point ? place(point) : text(words.notPlanned)}</dd></div>`;

function cuesMarkup({ cues, cuesBeyond }: CardTrack): string {
  if (!cues.length && !cuesBeyond) return '';
  const more = cuesBeyond ? `<p>${text(words.cuesBeyond(cuesBeyond))}</p>` : '';
  const items = cues.map(cueMarkup).join('');
  return `${items && `<ol class="bc-cues" aria-label="${text(words.cues)}">${items}</ol>`}${more}`;
}

function cueMarkup(cue: CardCue): string {
  const { slot, name, bank, colour } = cue;
  // Its place and name say the same; the colour helps where there is light enough to see it.
  const swatch =
    colour !== null && COLOUR.test(colour)
      ? `<svg class="bc-swatch" width="18" height="18" aria-hidden="true"><rect width="18" height="18" fill="${colour}"/></svg>`
      : '';
  const where = bank > 1 ? ` (${text(words.bank(bank))})` : '';
  return `<li><span class="bc-slot" aria-label="${text(words.slot(slot))}" role="img">${slot}</span>${swatch}<span>${place(cue)}${name && ` ${text(name)}`}${where}</span></li>`;
}

function marksMarkup(marks: readonly CardMark[]): string {
  if (!marks.length) return '';
  const noneShown = marks.every(({ shown }) => !shown);
  const items = marks.map((mark, i) => {
    const only = mark.shown || noneShown ? '' : ` <i>(${text(words.onlyHere)})</i>`;
    return `<li><b>${letter(i)}</b> ${clock(mark.time)} ${text(mark.name || words.unnamed)}${only}</li>`;
  });
  const all = noneShown ? `<p><i>${text(words.allOnlyHere)}</i></p>` : '';
  return `<ul class="bc-marks" aria-label="${text(words.marks)}">${items.join('')}</ul>${all}`;
}

/** @param most warnings that are told; of the others their number */
function warningsMarkup({ warnings, moreWarnings }: CardTrack, most: number): string {
  if (!warnings.length) return '';
  const more = moreWarnings + Math.max(0, warnings.length - most);
  const items = warnings
    .slice(0, most)
    .map(
      (finding) =>
        `<li><b>${text(severityWord(finding.severity))}:</b> ${text(findingSentence(finding))}</li>`,
    );
  if (more) items.push(`<li>${text(words.moreWarnings(more))}</li>`);
  return `<ul class="bc-warnings" aria-label="${text(words.warnings)}">${items.join('')}</ul>`;
}

function deckMarkup({ name, count, linked, reminders }: CardDeck, head: Head): string {
  const lines = reminders.map((line) => `<li>${text(line)}</li>`).join('');
  return `<div class="bc-deck">${head(2, text(words.deck(name, count, linked)), 'bc-deck-name')}${
    lines ? `<ul>${lines}</ul>` : `<p>${text(words.noReminders)}</p>`
  }</div>`;
}

/**
 * The card as a page of its own: one file, no scripts, no requests (which its policy forbids, too: CSP Level 3,
 * `default-src 'none'`).
 */
export function cardPage(card: Card, look: CardLook): string {
  const isPhone = look.paper === 'phone';
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="${isPhone ? 'dark' : 'light'}">
<title>${text(words.documentTitle(card.setName, card.boothName))}</title>
<style>${pageCss(look.paper)}${CARD_CSS}${SAVED_PAGE_CSS}</style>
</head>
<body class="${isPhone ? 'phone' : 'paper'}">
${cardMarkup(card, look, 1)}
<!-- ${words.madeBy} -->
</body>
</html>
`;
}
