/**
 * Contrast and verdicts worked out again the plain way: every column of a window read from the pyramid by itself, every
 * pair of columns compared, every layer measured, whether it is needed or not. `shared/survival` makes less, keeps much,
 * counts instead of comparing and looks at one layer after the other; both must agree exactly.
 */
import { BANDS } from '../../shared/bands.ts';
import { bandBalance, colourStep, heightOfLevel, trebleShare } from '../../shared/display/heights.ts';
import { beatAtTime, mainTempo, timeOfBeat } from '../../shared/grid/grid.ts';
import type { Marker } from '../../shared/markers/marker.ts';
import type { DeckProfile } from '../../shared/profile/schema.ts';
import { readPyramid } from '../../shared/pyramid.ts';
import { contextFor, type JudgedTrack, type RuleContext } from '../../shared/survival/context.ts';
import {
  type Contrast,
  type ContrastLayer,
  LEAST_COLUMNS,
  type Sight,
  VISIBLE_CONTRAST,
  VISIBLE_HEIGHT,
  VISIBLE_SHADE,
} from '../../shared/survival/contrast.ts';
import type { PictureTrack } from '../../shared/survival/picture.ts';
import { RULES } from '../../shared/survival/rules/rules.ts';
import type { Reason, Verdict } from '../../shared/survival/verdict.ts';
import { WINDOW_BARS, WINDOW_SECONDS } from '../../shared/survival/windows.ts';

/** The displays' layers of the pyramid. */
const FULL = 3;

interface Column {
  heights: number[];
  /** null: none, or none that shows. */
  shade: number | null;
}

function columnAt(track: PictureTrack, profile: DeckProfile, width: number, index: number): Column {
  const { scrolling, kinds } = profile.waveform;
  const { heightSteps, colourSteps } = scrolling ? profile.waveform : profile.overview;
  const kind = scrolling ? kinds[0] : profile.overview.kind;
  const { peak, rms } = readPyramid(track.pyramid, index * width, width, 1);
  const height = (layer: number) => heightOfLevel(peak[layer][0], rms[layer][0], heightSteps);
  if (kind === 'three-band') return { heights: [0, 1, 2].map(height), shade: null };
  const heights = [height(FULL)];
  const share = kind === 'tint' ? bandBalance : kind === 'single' ? trebleShare : null;
  if (!share || colourSteps === 1 || !heights[0]) return { heights, shade: null };
  const [bass, middle, treble] = rms;
  return { heights, shade: colourStep(share(bass[0], middle[0], treble[0]), colourSteps) };
}

/** Over all pairs: how much more often the later one is larger than smaller, by `margin` or more. */
function byPairs(before: number[], after: number[], margin: number): number {
  let balance = 0;
  for (const a of after) for (const b of before) balance += Number(a - b >= margin) - Number(b - a >= margin);
  return before.length && after.length ? balance / (before.length * after.length) : 0;
}

interface Stretch {
  start: number;
  end: number;
  bars: number | null;
}

function stretchAround({ grid, duration }: PictureTrack, time: number): Stretch | null {
  if (!grid.segments.length) {
    const side = Math.min(WINDOW_SECONDS, time, duration - time);
    return side < 2 ? null : { start: time - side, end: time + side, bars: null };
  }
  const at = beatAtTime(grid, time);
  const room = Math.min(at - beatAtTime(grid, 0), beatAtTime(grid, duration) - at);
  const bars = Math.min(WINDOW_BARS, Math.floor(room / grid.beatsPerBar + 1e-3));
  if (bars < 1) return null;
  const start = Math.max(0, timeOfBeat(grid, at - bars * grid.beatsPerBar));
  return { start, end: Math.min(duration, timeOfBeat(grid, at + bars * grid.beatsPerBar)), bars };
}

/** Width of the columns that are judged, s. */
export function judgedWidth({ grid, duration }: PictureTrack, profile: DeckProfile): number {
  const { scrolling, zoomSeconds } = profile.waveform;
  if (!scrolling) return duration / profile.overview.columns;
  const bpm = mainTempo(grid);
  const wanted = 2 * (bpm ? (WINDOW_BARS * grid.beatsPerBar * 60) / bpm : WINDOW_SECONDS);
  const stop = zoomSeconds.find((seconds) => seconds >= wanted) ?? zoomSeconds[zoomSeconds.length - 1];
  return stop / profile.screen.columns;
}

/** Contrast by time, after the definition in `shared/survival/contrast.ts`. */
export function plainContrasts(track: PictureTrack, profile: DeckProfile): (time: number) => Contrast | null {
  const { scrolling, kinds } = profile.waveform;
  const width = judgedWidth(track, profile);
  const count = scrolling ? Math.ceil(track.duration / width - 1e-6) : profile.overview.columns;
  const { heightSteps, colourSteps } = scrolling ? profile.waveform : profile.overview;
  const kind = scrolling ? kinds[0] : profile.overview.kind;
  const made: Column[] = [];
  const column = (i: number) => (made[i] ??= columnAt(track, profile, width, i));

  return (time) => {
    const stretch = stretchAround(track, time);
    if (!stretch) return null;
    const before: Column[] = [];
    const after: Column[] = [];
    for (let i = 0; i < count; i++) {
      const [left, right] = [i - 1e-6, i + 1 + 1e-6].map((x) => x * width);
      // Whole columns only; an edge that a column misses by the rounding of floats is none.
      if (i >= stretch.start / width - 1e-6 && right <= time + 2e-6 * width) before.push(column(i));
      if (left >= time - 2e-6 * width && i + 1 <= stretch.end / width + 1e-6) after.push(column(i));
    }
    if (Math.min(before.length, after.length) < LEAST_COLUMNS) return null;
    const margin = Math.max(1, Math.round(heightSteps * VISIBLE_HEIGHT));
    const names: readonly ContrastLayer[] = before[0].heights.length > 1 ? BANDS : ['height'];
    const layers = names.map((layer, n) => ({
      layer,
      delta: byPairs(
        before.map((c) => c.heights[n]),
        after.map((c) => c.heights[n]),
        margin,
      ),
    }));
    if ((kind === 'tint' || kind === 'single') && colourSteps > 1) {
      const shades = (side: Column[]) => side.flatMap((c) => (c.shade === null ? [] : [c.shade]));
      const step = Math.max(1, Math.round(colourSteps * VISIBLE_SHADE));
      layers.push({ layer: 'shade', delta: byPairs(shades(before), shades(after), step) });
    }
    return {
      value: Math.max(...layers.map(({ delta }) => Math.abs(delta))),
      layers,
      windowBars: stretch.bars,
      secondsBefore: time - stretch.start,
      secondsAfter: stretch.end - time,
      columnsBefore: before.length,
      columnsAfter: after.length,
    };
  };
}

/** The same as what the rules ask. */
export function plainSight(
  track: PictureTrack,
  profile: DeckProfile,
): Pick<Sight, 'contrast' | 'sees' | 'hidden'> {
  const contrast = plainContrasts(track, profile);
  const sees = (time: number) => {
    const there = contrast(time);
    return there && there.value >= VISIBLE_CONTRAST;
  };
  return { contrast, sees, hidden: (time) => (sees(time) === false ? contrast(time) : null) };
}

/** Verdicts by the table of rules, on contrasts worked out the plain way. */
export function plainVerdicts(
  markers: readonly Marker[],
  track: JudgedTrack,
  profile: DeckProfile,
  sight = plainSight(track, profile),
): Verdict[] {
  const real = contextFor(markers, track, profile);
  const context = Object.create(real, { sight: { value: sight } }) as RuleContext;
  return markers.map((marker) => {
    const reasons = RULES.filter(({ kinds }) => kinds.includes(marker.kind)).flatMap(
      ({ key, judge }): Reason[] => {
        const found = judge(marker, context);
        return found ? [{ key, ...found }] : [];
      },
    );
    const lost = reasons.filter(({ outcome }) => outcome === 'lost');
    const weakened = reasons.filter(({ outcome }) => outcome === 'weakened');
    return {
      markerId: marker.id,
      profileId: profile.id,
      outcome: lost.length ? 'lost' : weakened.length ? 'weakened' : 'holds',
      reasons: [...lost, ...weakened],
    };
  });
}
