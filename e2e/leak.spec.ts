/**
 * No drill can be answered from something that its deck does not show: two libraries that differ only in what is
 * hidden give the same pixels and the same page, question by question, in the app itself. The same difference on a
 * deck that shows it changes the pixels, so that the check can fail.
 */
import { execFileSync } from 'node:child_process';
import type { Page } from '@playwright/test';
import { availableKeys, itemFor } from '../shared/drills/make.ts';
import { sampleOf } from '../shared/drills/sample.ts';
import { DRILL_KINDS, type DrillKind, type DrillTrack } from '../shared/drills/types.ts';
import { DECKS, LIBRARY, track } from '../tests/drills/tracks.ts';
import { putSession, SESSION_START } from './support/database.ts';
import { openEmpty, putLibrary } from './support/library.ts';
import { expect, test } from './support/page.ts';

const [wide, small, strip, poor] = DECKS.map(({ id }) => id);
/** Seeds that are tried for one that asks about the same place of both libraries. */
const SEEDS = 3000;

// A service worker's own requests are not routed: the demo set would come in after all.
test.use({ serviceWorkers: 'block' });

type Twin = (of: DrillTrack) => DrillTrack;
interface Ask {
  drill: DrillKind;
  deck: string;
}
interface Planned extends Ask {
  key: string;
  /** Of the item with the library as it is, and with its twin. */
  seeds: [number, number];
}

const changed = (of: DrillTrack, analysis: Partial<DrillTrack['analysis']>): DrillTrack => ({
  ...of,
  analysis: { ...of.analysis, ...analysis },
});
const on = (deck: string, ...drills: DrillKind[]): Ask[] => drills.map((drill) => ({ drill, deck }));
const everywhere = (...drills: DrillKind[]): Ask[] =>
  DECKS.flatMap(({ id }) => drills.map((drill) => ({ drill, deck: id })));
const beatOf = (of: DrillTrack) => 60 / of.analysis.grid.segments[0].bpm;

/** Another order of the bands under the same whole level. */
const banded =
  (order: [number, number, number]): Twin =>
  (of) =>
    track({ seed: LIBRARY.indexOf(of) + 1, bpm: of.analysis.grid.segments[0].bpm, bands: order });
/** Bass and middle change places: the share of treble stays. */
const bands = banded([1, 0, 2]);
/** All levels are another track's, the grid and the sections are not. */
const levels: Twin = (of) => {
  const other = track({ seed: LIBRARY.indexOf(of) + 101, bpm: of.analysis.grid.segments[0].bpm });
  return changed(of, { pyramid: other.analysis.pyramid });
};
const sections: Twin = (of) => {
  const by = 16 * beatOf(of);
  const last = of.analysis.sections.length - 1;
  const moved = of.analysis.sections.map((section, i) => ({
    ...section,
    startTime: i ? section.startTime + by : 0,
    endTime: i < last ? section.endTime + by : section.endTime,
  }));
  return changed(of, { sections: moved });
};
const bars: Twin = (of) => changed(of, { grid: { ...of.analysis.grid, firstBeatInBar: 2 } });
const beats: Twin = (of) => {
  const segments = of.analysis.grid.segments.map((s) => ({ ...s, startTime: s.startTime + beatOf(of) / 4 }));
  return changed(of, { grid: { ...of.analysis.grid, segments } });
};
const meta: Twin = (of) => ({
  ...changed(of, {
    grid: { ...of.analysis.grid, confidence: 0.85, downbeatConfidence: 0.9, phraseOffsetBars: 3 },
    sections: of.analysis.sections.map((s) => ({ ...s, strength: 0.5, why: 'hidden', energy: 0.1 })),
  }),
  id: `other-${of.id}`,
  title: `Unlike ${of.title}`,
});

function keysOf(library: readonly DrillTrack[], { drill, deck }: Ask) {
  return known(library).filter((key) => key.drill === drill && key.deckId === deck);
}
const keys = new WeakMap<readonly DrillTrack[], ReturnType<typeof availableKeys>>();
function known(library: readonly DrillTrack[]) {
  let list = keys.get(library);
  if (!list) keys.set(library, (list = availableKeys(library, DECKS)));
  return list;
}

interface Case {
  what: string;
  twin: Twin;
  hidden: Ask[];
  /**
   * The right answer is another one in the twin, while nothing that is shown is: at the same place of the track
   * (`here`), or because the place that is asked for lies elsewhere.
   */
  unlike?: 'here' | 'elsewhere';
  /** Where the same difference is seen, or another one that is. */
  seen: Ask[];
  seenTwin?: Twin;
}

const CASES: Case[] = [
  {
    what: 'where the sections are, to every deck',
    twin: sections,
    hidden: everywhere('find-drop', 'find-breakdown', 'find-mix-out'),
    unlike: 'elsewhere',
    seen: everywhere('find-drop'),
    seenTwin: levels,
  },
  {
    what: 'whether it is the bass, to an overview of one flat colour',
    twin: banded([2, 1, 0]),
    hidden: on(poor, 'bass-here'),
    unlike: 'here',
    seen: [...on(wide, 'read-time'), ...on(small, 'read-time')],
  },
  {
    what: 'the balance of bands under one whole level, to flat and single-coloured overviews',
    twin: bands,
    hidden: [
      ...on(poor, 'find-drop', 'find-breakdown', 'find-mix-out', 'read-time', 'heard-strip', 'energy-clash'),
      ...on(strip, 'find-drop', 'find-breakdown', 'find-mix-out', 'read-time', 'energy-clash'),
    ],
    seen: [...on(wide, 'find-drop', 'energy-clash'), ...on(small, 'find-drop'), ...on(poor, 'same-on-rich')],
  },
  {
    what: 'which beat is the first of its bar, to a deck that draws beats only and to every overview',
    twin: bars,
    hidden: [
      ...on(strip, 'heard-strip', 'bars-to-change'),
      ...everywhere('find-drop', 'find-breakdown', 'find-mix-out', 'read-time', 'energy-clash'),
      ...on(poor, 'heard-strip', 'same-on-rich'),
    ],
    seen: [...on(small, 'heard-strip'), ...on(wide, 'bars-to-change')],
  },
  {
    what: 'the grid, to a deck without one',
    twin: beats,
    hidden: on(
      poor,
      ...(['find-drop', 'find-breakdown', 'find-mix-out', 'read-time'] as const),
      ...(['heard-strip', 'same-on-rich', 'energy-clash'] as const),
    ),
    seen: [...on(small, 'heard-strip'), ...on(strip, 'heard-strip')],
  },
  {
    what: 'the music, to a read-out of beats alone',
    twin: levels,
    hidden: [...on(strip, 'phase-compare'), ...on(small, 'phase-compare')],
    seen: on(wide, 'phase-compare'),
  },
  ...DECKS.map(({ id, name }): Case => ({
    what: `confidence, strength, reasons, names and ids, to ${name}`,
    twin: meta,
    hidden: on(id, ...DRILL_KINDS.filter((drill) => keysOf(LIBRARY, { drill, deck: id }).length)),
    seen: on(id, 'read-time'),
    seenTwin: levels,
  })),
];

/**
 * Seeds with which the app asks both libraries about the same place, one for either; for `unlike` with another right
 * answer. Where the answers differ `here`, the draw may come to the place by another way, so the seeds may differ too.
 */
function planned(ask: Ask, pair: [DrillTrack[], DrillTrack[]], unlike?: Case['unlike']): Planned {
  const samples = pair.map((library) => sampleOf(library, SESSION_START));
  const [{ key }] = keysOf(pair[0], ask);
  const heldAt = (seed: number, side: 0 | 1) => {
    const asked = { key, seed, baseline: false, withSound: false };
    const held = itemFor(asked, samples[side], DECKS)?.held;
    return held && { ...held, number: pair[side].findIndex(({ id }) => id === held.trackId), seed };
  };
  const met: NonNullable<ReturnType<typeof heldAt>>[] = [];
  for (let seed = 1; seed <= SEEDS; seed++) {
    const [a, b] = [heldAt(seed, 0), heldAt(seed, 1)];
    if (a) met.push(a);
    const mine = unlike === 'here' ? met : a ? [a] : [];
    const found = mine.find(
      ({ number, time, answer }) =>
        b?.number === number &&
        (unlike === 'elsewhere' || Math.abs(b.time - time) < 1e-6) &&
        (!unlike || JSON.stringify(b.answer) !== JSON.stringify(answer)),
    );
    if (found) return { ...ask, key, seeds: [found.seed, seed] };
  }
  throw new Error(`${ask.drill} on ${ask.deck} cannot be asked of both libraries.`);
}

/** A question as it is drawn before its answer. */
interface Look {
  /** Its canvases, bit by bit. */
  canvases: string[];
  /** All of it as the browser shows it, PNG. */
  screen: Buffer;
  /** All of it as the page says it. */
  text: string;
}

/** The question, once every canvas has its size and nothing moves any more. */
async function look(page: Page): Promise<Look> {
  const question = page.getByTestId('question');
  const canvases = question.locator('canvas');
  await expect
    .poll(() =>
      canvases.evaluateAll((all) =>
        (all as HTMLCanvasElement[]).every(
          ({ width, parentElement }) => width === Math.round(parentElement!.clientWidth * devicePixelRatio),
        ),
      ),
    )
    .toBe(true);
  const shot = () => question.screenshot({ animations: 'disabled' });
  let [last, screen] = [await shot(), await shot()];
  while (!screen.equals(last)) [last, screen] = [screen, await shot()];
  return {
    screen,
    canvases: await canvases.evaluateAll((all) => (all as HTMLCanvasElement[]).map((c) => c.toDataURL())),
    text: await question.evaluate((element) => element.outerHTML),
  };
}

/** Rounded corners of the boxes come out a hair otherwise from one drawing to the next: levels of 255. */
const HAIR = 6;

/** Largest difference of two screens in any colour of any pixel, levels of 255; of other sizes: 255. */
function difference(a: Buffer, b: Buffer): number {
  if (a.equals(b)) return 0;
  const [x, y] = [a, b].map((png) =>
    execFileSync('ffmpeg', '-v error -i pipe:0 -f rawvideo -pix_fmt rgb24 pipe:1'.split(' '), {
      input: png,
      maxBuffer: 1 << 27,
    }),
  );
  if (x.length !== y.length) return 255;
  return x.reduce((most, level, i) => Math.max(most, Math.abs(level - y[i])), 0);
}

/** Every question of a session with this library, without an answer to any. */
async function looks(
  page: Page,
  library: readonly DrillTrack[],
  asks: readonly Planned[],
  side: 0 | 1,
): Promise<Look[]> {
  await putLibrary(page, library);
  await putSession(
    page,
    asks.map(({ key, seeds }) => ({ key, seed: seeds[side] })),
  );
  await page.reload();
  await page.getByRole('button', { name: 'Train', exact: true }).click();
  const all: Look[] = [];
  for (const [i, { drill }] of asks.entries()) {
    const left = `Question 1 of ${asks.length - i}`;
    await expect(page.getByTestId('train').getByTestId('place')).toHaveText(left);
    await expect(page.getByTestId('question')).toHaveAttribute('data-drill', drill);
    all.push(await look(page));
    // By the page itself: no pointer that hovers, no focus that moves.
    await page.getByRole('button', { name: 'Skip this one' }).dispatchEvent('click');
  }
  return all;
}

for (const { what, twin, hidden, unlike, seen, seenTwin = twin } of CASES) {
  test(`hidden: ${what}`, async ({ page }) => {
    expect(hidden.length).toBeGreaterThan(0);
    const [other, seenOther] = [LIBRARY.map(twin), LIBRARY.map(seenTwin)];
    const quiet = hidden.map((ask) => planned(ask, [LIBRARY, other], unlike));
    const loud = seen.map((ask) => planned(ask, [LIBRARY, seenOther]));
    await openEmpty(page);
    const before = await looks(page, LIBRARY, [...quiet, ...loud], 0);
    const alike = await looks(page, other, seenTwin === twin ? [...quiet, ...loud] : quiet, 1);
    const after = seenTwin === twin ? alike.slice(quiet.length) : await looks(page, seenOther, loud, 1);
    quiet.forEach(({ drill, deck }, i) => {
      const [a, b] = [before[i], alike[i]];
      expect(b.text, `${drill} on ${deck}: what the page says`).toBe(a.text);
      expect(b.canvases.length, `${drill} on ${deck}: pictures`).toBe(a.canvases.length);
      b.canvases.forEach((canvas, n) =>
        expect(canvas === a.canvases[n], `${drill} on ${deck}: picture ${n + 1} is the same`).toBe(true),
      );
      expect(difference(a.screen, b.screen), `${drill} on ${deck}: the screen`).toBeLessThanOrEqual(HAIR);
    });
    loud.forEach(({ drill, deck }, i) => {
      const [a, b] = [before[quiet.length + i], after[i]];
      expect(difference(a.screen, b.screen), `${drill} on ${deck}: the screen`).toBeGreaterThan(4 * HAIR);
    });
  });
}
