/**
 * Sections of a track: boundaries from novelty (J. Foote 2000), put on phrase starts, named where it is plain what
 * they are, each with the measured reason for its boundary.
 */
import type { Section } from '../../../shared/analysis.ts';
import type { BeatGrid } from '../../../shared/grid/grid.ts';
import type { Pyramid } from '../../../shared/pyramid.ts';
import type { HarmonyFeatures } from '../key/harmony.ts';
import { chooseBoundaries } from './boundaries.ts';
import { cellsOf, cellTime, PLAIN_SECONDS } from './cells.ts';
import { explain } from './changes.ts';
import { cellFeatures } from './features.ts';
import { alike, figuresOf, labelsOf } from './labels.ts';
import { SelfSimilarity } from './novelty.ts';
import { refineTime } from './refine.ts';

/** Shortest track that is divided at all, s. */
const LEAST_SECONDS = 20;
/** Novelty below which a boundary between two sections of the same name is only a detail within one. */
const DETAIL = 0.6;
/** Full-layer level below which there is nothing to divide, dB. */
const SILENT_DB = -90;

/**
 * Divides a track into sections that cover it from 0 to `duration` without gaps.
 * A constant loop, noise or silence is one section; an empty track has none. Without a grid the boundaries lie
 * on plain times and the labels are letters.
 * @param duration s
 */
export function findSections(
  harmony: HarmonyFeatures,
  pyramid: Pyramid,
  grid: BeatGrid,
  duration: number,
): Section[] {
  if (!(duration > 0) || !pyramid.levels[0]?.length) return [];
  const cells = cellsOf(grid, duration);
  const features = cellFeatures(pyramid, harmony, cells);
  const divisible = duration >= LEAST_SECONDS && Math.max(...features.loudness) > SILENT_DB;
  const similarity = new SelfSimilarity(features);
  const boundaries = divisible ? chooseBoundaries(similarity, cells) : [];
  const starts = [0, ...boundaries.map((b) => b.cell)];
  const strengths = [1, ...boundaries.map((b) => Math.min(1, b.novelty))];
  const figures = () =>
    starts.map((from, i) => figuresOf(features, { from, to: starts[i + 1] ?? features.count }));

  let sections = figures();
  let labels = labelsOf(features, sections, cells.bars);
  for (let i = starts.length - 1; i > 0; i--) {
    if (labels[i] === labels[i - 1] && strengths[i] < DETAIL) {
      starts.splice(i, 1);
      strengths.splice(i, 1);
    }
  }
  sections = figures();
  labels = labelsOf(features, sections, cells.bars);

  const times = starts.map((cell, i) => {
    const time = cellTime(cells, cell);
    return i && !cells.bars ? refineTime(pyramid, time, PLAIN_SECONDS) : time;
  });
  const groups = alike(sections);
  const loudest = Math.max(...sections.map((s) => s.loudness));
  return sections.map((section, i) => ({
    startTime: times[i],
    endTime: times[i + 1] ?? duration,
    label: labels[i],
    strength: strengths[i],
    why:
      i === 0
        ? 'The track starts here.'
        : sentence(explain(features, similarity, sections[i - 1], section, cells.bars, earlier(i))),
    energy: loudest > SILENT_DB ? Math.min(1, 10 ** ((section.loudness - loudest) / 20)) : 0,
  }));

  /** Where a section that sounds like section `i` began, unless it is the one just before. */
  function earlier(i: number): string | null {
    const first = groups.indexOf(groups[i]);
    return first < i - 1 ? clockTime(times[first]) : null;
  }
}

function sentence(words: string): string {
  return `${words[0].toUpperCase()}${words.slice(1)}.`;
}

/** Minutes and seconds, for instance 1:04. */
function clockTime(seconds: number): string {
  const whole = Math.floor(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}
