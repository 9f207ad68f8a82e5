/** The strip of a track as vectors in one ink: DisplayColumns → SVG. It adds nothing to what the columns hold. */
import type { DisplayColumns } from '../../../shared/display/columns.ts';
import { escapeHtml } from './escape.ts';

export interface StripMark {
  /** s */
  time: number;
  label: string;
  /** Closed and full; else hollow and broken: the deck does not show it. */
  shown: boolean;
}

export interface StripSvgParts {
  columns: DisplayColumns;
  /** Length of the track, s. */
  duration: number;
  /** Read out by a screen reader. */
  title: string;
  mixIn: number | null;
  mixOut: number | null;
  /** Above the strip, in order of time. */
  marks: readonly StripMark[];
  /** Below the strip. */
  cues: readonly { time: number; slot: number }[];
}

/** CSS pixels: room of a line of labels (11.25 pt), and of the strip itself. */
const LABEL = 15;
const LANE = 17;
const WAVE = 34;
/** Of a lane without labels: room for the ends of brackets. */
const BARE_LANE = 3;
/** Share of the width below which two labels would touch on the narrowest card (about 330 pixels). */
const LABEL_GAP = 0.036;
/** Tones of one ink: palest and darkest, as opacity. A halftone of them still prints (estimate). */
const PALEST = 0.38;
const BAND_TONES = { bass: 0.35, middle: 0.6, treble: 1 } as const;
/** Different tones that print apart (estimate). */
const MOST_TONES = 4;

const round = (value: number) => String(Math.round(value * 100) / 100);

/**
 * One closed outline per unbroken run of columns that stand on the lower edge.
 * @param isIn which columns belong to it
 */
function outline(heights: ArrayLike<number>, count: number, top: number, isIn: (i: number) => boolean) {
  let path = '';
  let open = false;
  let last = 0;
  for (let i = 0; i <= count; i++) {
    const height = i < count && isIn(i) ? heights[i] : 0;
    if (height === last && open) continue;
    if (!height) {
      if (open) path += `H${i}V${top}z`;
      open = false;
    } else if (open) path += `H${i}V${top - height}`;
    else {
      path += `M${i} ${top}V${top - height}`;
      open = true;
    }
    last = height;
  }
  return path;
}

const pathOf = (d: string, tone: number) =>
  d ? `<path d="${d}"${tone < 1 ? ` fill-opacity="${round(tone)}"` : ''}/>` : '';

/** The columns alone, on a scale of their own: x in columns, y in steps of height. */
export function columnPaths(columns: DisplayColumns): string {
  const { heights, count, heightSteps: top, colours, colourSteps, kind } = columns;
  if (kind === 'three-band') {
    const [bass, middle, treble] = heights.map((layer) => outline(layer, count, top, () => true));
    return (
      pathOf(bass, BAND_TONES.bass) + pathOf(middle, BAND_TONES.middle) + pathOf(treble, BAND_TONES.treble)
    );
  }
  const tones = Math.min(MOST_TONES, Math.max(1, colourSteps));
  let paths = '';
  for (let tone = 0; tone < tones; tone++) {
    const isIn = (i: number) => Math.floor((colours[i] * tones) / Math.max(1, colourSteps)) === tone;
    const ink = tones === 1 ? 1 : 1 - ((1 - PALEST) * tone) / (tones - 1);
    paths += pathOf(outline(heights[0], count, top, isIn), ink);
  }
  return paths;
}

/** The whole strip with marks, cues and mix points: `<svg>`, as wide as its box. */
export function stripSvg({ columns, duration, title, mixIn, mixOut, marks, cues }: StripSvgParts): string {
  const at = (time: number) => Math.min(1, Math.max(0, duration > 0 ? time / duration : 0));
  const top = marks.length ? LANE : BARE_LANE;
  const bottom = top + WAVE;
  const height = bottom + (cues.length ? LANE : BARE_LANE);
  const percent = (share: number) => `${round(share * 100)}%`;
  // A label half outside would be cut.
  const within = (share: number) => Math.min(1 - LABEL_GAP / 2, Math.max(LABEL_GAP / 2, share));
  const placed = (time: number, shape: string) =>
    `<svg x="${percent(at(time))}" y="0" width="1" height="${height}" overflow="visible">${shape}</svg>`;
  const wave =
    columns.count > 0
      ? `<svg class="bc-wave" x="0" y="${top}" width="100%" height="${WAVE}" viewBox="0 0 ${columns.count} ${columns.heightSteps}" preserveAspectRatio="none">${columnPaths(columns)}</svg>`
      : '';
  const base = `<rect x="0" y="${bottom}" width="100%" height="1"/>`;

  const labelled = (items: readonly { time: number; text: string; shape: string }[], y: number) => {
    let last = -Infinity;
    return items
      .map(({ time, text, shape }) => {
        const share = at(time);
        // A label gives way to its neighbour by no more than half its width, so that it stays at its sign.
        const middle = Math.max(within(share), last + LABEL_GAP);
        const fits = middle - within(share) <= LABEL_GAP / 2 && middle <= 1 - LABEL_GAP / 2;
        if (fits) last = middle;
        const label = `<text x="${percent(middle)}" y="${y}" font-size="${LABEL}" text-anchor="middle">${escapeHtml(text)}</text>`;
        return placed(time, shape) + (fits ? label : '');
      })
      .join('');
  };
  const above = labelled(
    marks.map(({ time, label, shown }) => ({ time, text: label, shape: markShape(shown, top) })),
    top - 4,
  );
  const below = labelled(
    [...cues]
      .sort((a, b) => a.time - b.time)
      .map(({ time, slot }) => ({ time, text: String(slot), shape: cueShape(bottom) })),
    height - 1,
  );
  const brackets =
    (mixIn === null ? '' : placed(mixIn, bracket(1, top))) +
    (mixOut === null ? '' : placed(mixOut, bracket(-1, top)));
  return `<svg class="bc-strip" role="img" aria-label="${escapeHtml(title)}" width="100%" height="${height}" fill="currentColor" font-weight="700">${wave}${base}${above}${below}${brackets}</svg>`;
}

/** A stroke in the paper's colour around the ink keeps a line apart from the strip behind it. */
const lined = (d: string, ink: string) =>
  `<path d="${d}" fill="none" class="bc-halo" stroke-width="4"/><path d="${d}" fill="none" stroke="currentColor" ${ink}/>`;

/** @param top y of the strip's upper edge, as below */
function markShape(shown: boolean, top: number): string {
  const line = lined(
    `M0 ${top - 2}V${top + WAVE}`,
    `stroke-width="1.5"${shown ? '' : ' stroke-dasharray="3 3"'}`,
  );
  const head = shown ? '' : ' class="bc-hollow" stroke="currentColor"';
  return `${line}<path d="M-4 ${top - 3}h8l-4 6z"${head}/>`;
}

const cueShape = (bottom: number) => `<path d="M-4 ${bottom + 5}h8l-4 -7z"/>`;

const bracket = (side: 1 | -1, top: number) =>
  lined(`M${side * 7} ${top}H0V${top + WAVE}H${side * 7}`, 'stroke-width="2.5"');
