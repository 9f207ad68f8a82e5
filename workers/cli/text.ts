/** How the analysis of a track reads on a terminal. */
import type { TrackAnalysis } from '../../shared/analysis.ts';
import { beatsBetween, mainTempo } from '../../shared/grid/grid.ts';
import type { TrackTags } from '../../shared/tags.ts';

/** Beats and downbeats that the text form prints at either end of the list. */
const SHOWN_AT_EACH_END = 4;

export interface TrackReport {
  file: string;
  title: string;
  artist: string | null;
  /** s */
  duration: number;
  container: string;
  codec: string;
  /** Hz */
  sampleRate: number;
  channels: number;
  bitDepth: number | null;
  /** Bits per second. */
  bitrate: number | null;
  /** Beats per minute, three decimals; null without a steady beat. */
  tempo: number | null;
  gridKind: TrackAnalysis['grid']['kind'];
  beatsPerBar: number;
  /** s */
  firstBeat: number | null;
  /** s */
  beats: number[];
  /** s */
  downbeats: number[];
  /** 0..1 */
  confidence: number;
  /** 0..1 */
  downbeatConfidence: number;
  sections: TrackAnalysis['sections'];
  key: TrackAnalysis['key'];
  loudness: TrackAnalysis['loudness'];
  /** linear */
  peak: number;
  /** dBFS; null for digital silence */
  peakDb: number | null;
  silent: boolean;
  partial: TrackAnalysis['partial'];
  /** SHA-256 of the file, hex. */
  hash: string;
  /** Time that the analysis took, s. */
  analysisSeconds: number;
}

/** Everything that is printed of one track; the same for both forms. */
export function trackReport(
  file: string,
  { analysis, tags, hash }: { analysis: TrackAnalysis; tags: TrackTags; hash: string },
  analysisSeconds: number,
): TrackReport {
  const { grid, source } = analysis;
  const beats = beatsBetween(grid, 0, analysis.duration);
  const tempo = mainTempo(grid);
  return {
    file,
    title: tags.title,
    artist: tags.artist,
    duration: analysis.duration,
    container: source.container,
    codec: source.codec,
    sampleRate: source.sampleRate,
    channels: source.channels,
    bitDepth: source.bitDepth,
    bitrate: source.bitrate,
    tempo: tempo === null ? null : Number(tempo.toFixed(3)),
    gridKind: grid.kind,
    beatsPerBar: grid.beatsPerBar,
    firstBeat: beats[0]?.time ?? null,
    beats: beats.map((beat) => beat.time),
    downbeats: beats.filter((beat) => beat.downbeat).map((beat) => beat.time),
    confidence: grid.confidence,
    downbeatConfidence: grid.downbeatConfidence,
    sections: analysis.sections,
    key: analysis.key,
    loudness: analysis.loudness,
    peak: analysis.peak,
    peakDb: analysis.peak > 0 ? decibels(analysis.peak) : null,
    silent: analysis.silent,
    partial: analysis.partial,
    hash,
    analysisSeconds,
  };
}

/** A report as lines of text. */
export function reportText(report: TrackReport): string {
  const lines: [string, string][] = [
    ['Title', report.title],
    ['Artist', report.artist ?? '(not given)'],
    ['Duration', `${report.duration.toFixed(3)} s (${minutes(report.duration)})`],
    ['Format', formatText(report)],
    ['Sample rate', `${report.sampleRate} Hz`],
    ['Channels', String(report.channels)],
    ['Tempo', tempoText(report)],
    ['First beat', report.firstBeat === null ? '(none)' : `${report.firstBeat.toFixed(3)} s`],
    ['Beats', timesText(report.beats)],
    ['Downbeats', timesText(report.downbeats)],
    ['Confidence', `${report.confidence.toFixed(2)} (downbeat ${report.downbeatConfidence.toFixed(2)})`],
  ];
  report.sections.forEach((section, i) =>
    lines.push([
      i === 0 ? 'Sections' : '',
      `${minutes(section.startTime)}–${minutes(section.endTime)}  ${section.label}${section.why ? `: ${section.why}` : ''}`,
    ]),
  );
  if (report.key) lines.push(['Key', `${report.key.name} (confidence ${report.key.confidence.toFixed(2)})`]);
  if (report.loudness) lines.push(['Loudness', loudnessText(report.loudness)]);
  lines.push(['Peak', peakText(report)]);
  if (report.partial) lines.push(['Partial', report.partial.sentence]);
  lines.push(['SHA-256', report.hash], ['Analysis time', `${report.analysisSeconds.toFixed(2)} s`]);
  const width = Math.max(...lines.map(([name]) => name.length)) + 2;
  return [report.file, ...lines.map(([name, value]) => `  ${name.padEnd(width)}${value}`)].join('\n');
}

/** Level of a linear value over full scale, dB. */
function decibels(linear: number): number {
  return 20 * Math.log10(linear);
}

function minutes(seconds: number): string {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

function formatText({ container, codec, bitDepth, bitrate }: TrackReport): string {
  const name = container === codec ? container : `${container}, ${codec}`;
  const depth = bitDepth === null ? '' : `, ${bitDepth} bit`;
  return `${name}${depth}${bitrate === null ? '' : `, ${Math.round(bitrate / 1000)} kb/s`}`;
}

function tempoText({ tempo, gridKind, beatsPerBar }: TrackReport): string {
  if (tempo === null) return '(no steady beat)';
  return `${tempo.toFixed(3)} bpm, ${gridKind}, ${beatsPerBar} beats a bar`;
}

function timesText(times: number[]): string {
  if (!times.length) return '(none)';
  const text = (some: number[]) => some.map((time) => time.toFixed(3)).join(' ');
  if (times.length <= 2 * SHOWN_AT_EACH_END + 1) return text(times);
  const ends = [times.slice(0, SHOWN_AT_EACH_END), times.slice(-SHOWN_AT_EACH_END)].map(text);
  return `${ends.join(' … ')} (${times.length})`;
}

function loudnessText({
  integratedDb,
  momentaryMaxDb,
  shortTermMaxDb,
  rangeDb,
  truePeakDb,
}: NonNullable<TrackReport['loudness']>) {
  const one = (value: number) => value.toFixed(1);
  const momentary = momentaryMaxDb === undefined ? '' : `, ${one(momentaryMaxDb)} LUFS momentary maximum`;
  return `${one(integratedDb)} LUFS integrated, ${one(shortTermMaxDb)} LUFS short-term maximum${momentary}, range ${one(rangeDb)} LU, true peak ${one(truePeakDb)} dBTP`;
}

function peakText({ peak, peakDb, silent }: TrackReport): string {
  const level = peakDb === null ? '−∞' : peakDb.toFixed(2);
  return `${peak.toFixed(4)} (${level} dBFS)${silent ? ', silent' : ''}`;
}
