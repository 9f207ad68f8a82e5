/**
 * Names for sections. A musical name is given only where energy, bass and pulse say so plainly; else the section
 * gets a letter, the same one for sections that sound alike.
 */
import type { SectionLabel } from '../../../shared/analysis.ts';
import { trend, type Span } from './changes.ts';
import { type CellFeatures, meanChroma, meanOf, quantile } from './features.ts';

/** Figures of one section. */
export interface SectionFigures extends Span {
  /** Mean level per band, dB, and pulse per band. */
  level: number[];
  pulse: number[];
  /** Level of the mean power, dB: a silent bar at the end must not pull it down. */
  loudness: number;
  chroma: Float64Array;
  /** dB by which middle or treble rise through it, whichever rises more. */
  rise: number;
}

const [BASS, MIDDLE, TREBLE] = [0, 1, 2];
/** A section is full when bass level and beat are within these of the track's fullest bars, dB and share. */
const FULL_BASS_DB = 4;
const FULL_LOUDNESS_DB = 2;
const FULL_PULSE = 0.55;
/** Below these a section has lost its bottom: dB under the full bass, or share of the full beat. */
const BARE_BASS_DB = 9;
const BARE_PULSE = 0.4;
/** dB between the fullest and the barest section below which nothing can be told apart. */
const LEAST_CONTRAST_DB = 4;
/** Sums over the bands from which parts are said to have been added after a first section, or to have left, dB. */
const ADDED_DB = 5;
const LEFT_DB = 3;
/** dB of rise through a section that makes it a build. */
const BUILD_RISE_DB = 3;
/** A build is at most this long, cells. */
const BUILD_CELLS = 16;
/** Distance between two sections (units as in novelty.ts) below which they sound alike. */
const ALIKE = 0.8;
const LEVEL_UNIT_DB = 6;
const PULSE_UNIT = 0.5;
const CHROMA_UNIT = 0.4;

export function figuresOf(features: CellFeatures, { from, to }: Span): SectionFigures {
  return {
    from,
    to,
    level: features.level.map((values) => meanOf(values, from, to)),
    pulse: features.pulse.map((values) => meanOf(values, from, to)),
    loudness: meanPowerDb(features.loudness, from, to),
    chroma: meanChroma(features, from, to),
    rise: Math.max(trend(features.level[MIDDLE], from, to), trend(features.level[TREBLE], from, to)),
  };
}

function meanPowerDb(db: Float64Array, from: number, to: number): number {
  return (
    10 *
    Math.log10(
      meanOf(
        db.map((v) => 10 ** (v / 10)),
        from,
        to,
      ) + 1e-12,
    )
  );
}

/** A number per section; sections with the same one sound alike. */
export function alike(sections: readonly SectionFigures[]): number[] {
  const groups: number[] = [];
  sections.forEach((section, i) => {
    let nearest = -1;
    let least = ALIKE;
    for (let j = 0; j < i; j++) {
      const d = distance(section, sections[j]);
      if (d < least) [least, nearest] = [d, j];
    }
    groups.push(nearest < 0 ? Math.max(-1, ...groups) + 1 : groups[nearest]);
  });
  return groups;
}

function distance(a: SectionFigures, b: SectionFigures): number {
  let square = 0;
  for (let band = 0; band < a.level.length; band++) {
    square += ((a.level[band] - b.level[band]) / LEVEL_UNIT_DB) ** 2;
    square += ((a.pulse[band] - b.pulse[band]) / PULSE_UNIT) ** 2;
  }
  const same = a.chroma.reduce((sum, v, i) => sum + v * b.chroma[i], 0);
  const voiced = a.chroma.some((v) => v > 0) && b.chroma.some((v) => v > 0);
  return Math.sqrt(square + (voiced ? ((1 - same) / CHROMA_UNIT) ** 2 : 0));
}

/** One label per section. `musical` false gives letters only. */
export function labelsOf(
  features: CellFeatures,
  sections: readonly SectionFigures[],
  musical: boolean,
): SectionLabel[] {
  const letters = alike(sections).map(letter);
  return musical ? musicalLabels(features, sections).map((label, i) => label ?? letters[i]) : letters;
}

function musicalLabels(features: CellFeatures, sections: readonly SectionFigures[]): (SectionLabel | null)[] {
  const none = sections.map(() => null);
  const fullBass = quantile(features.level[BASS], 0.85);
  const fullLoudness = quantile(features.loudness, 0.85);
  const fullPulse = quantile(features.pulse[BASS], 0.75);
  const contrast = (s: SectionFigures) =>
    Math.max(
      fullBass - s.level[BASS],
      fullLoudness - s.loudness,
      fullPulse > 0 ? 8 * (1 - s.pulse[BASS] / fullPulse) : 0,
    );
  const full = sections.map(
    (s) =>
      fullBass - s.level[BASS] < FULL_BASS_DB &&
      fullLoudness - s.loudness < FULL_LOUDNESS_DB &&
      s.pulse[BASS] > FULL_PULSE * fullPulse,
  );
  const bare = sections.map(
    (s) => fullBass - s.level[BASS] > BARE_BASS_DB || s.pulse[BASS] < BARE_PULSE * fullPulse,
  );
  if (!full.includes(true) || Math.max(...sections.map(contrast)) < LEAST_CONTRAST_DB) return none;
  // A loud beat alone at either end is still the way in or out: parts are added after it, or leave one by one.
  if (sections.length > 1 && balance(sections[0], sections[1]) > ADDED_DB) full[0] = false;
  for (let i = sections.length - 1; i > 0 && leaves(sections[i - 1], sections[i]); i--) full[i] = false;
  if (!full.includes(true)) return none;
  const firstFull = full.indexOf(true);
  const lastFull = full.lastIndexOf(true);
  return sections.map((section, i): SectionLabel | null => {
    if (full[i]) return 'drop';
    if (i > lastFull) return 'outro';
    const leadsToDrop = full[i + 1];
    const short = section.to - section.from <= BUILD_CELLS;
    const rises = section.rise > BUILD_RISE_DB;
    if (i < firstFull) {
      if (i > 0 && leadsToDrop && (short || rises)) return 'build';
      return 'intro';
    }
    if (leadsToDrop && short && (rises || !bare[i] || bare[i - 1])) return 'build';
    return bare[i] ? 'breakdown' : null;
  });
}

/** Sum over the bands of what the level gains from one section to the next, dB. */
function balance(before: SectionFigures, after: SectionFigures): number {
  return after.level.reduce((sum, db, band) => sum + db - before.level[band], 0);
}

function leaves(before: SectionFigures, after: SectionFigures): boolean {
  return after.loudness < before.loudness && balance(before, after) < -LEFT_DB;
}

/** A, B … Z, then A2, B2 … */
function letter(group: number): string {
  const round = Math.floor(group / 26);
  return String.fromCharCode(65 + (group % 26)) + (round ? round + 1 : '');
}
