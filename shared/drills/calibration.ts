/** Whether confidence tells how often the person is right. */
import { type Interval, meanInterval, meanOf, shareInterval } from './statistics.ts';
import type { AnswerRecord } from './types.ts';

/** Edges of the bins of confidence. */
export const CONFIDENCE_EDGES = [0, 0.2, 0.4, 0.6, 0.8, 1] as const;

export interface CalibrationBin extends Interval {
  /** Confidence from … to (the last bin holds 1). */
  from: number;
  to: number;
  /** Mean of the confidence that was given in it. */
  confidence: number;
  hits: number;
}

/** Hit rate by confidence with Wilson's interval; bins without answers are left out. */
export function calibration(records: readonly AnswerRecord[]): CalibrationBin[] {
  return CONFIDENCE_EDGES.slice(0, -1).flatMap((from, i): CalibrationBin[] => {
    const to = CONFIDENCE_EDGES[i + 1];
    const last = i === CONFIDENCE_EDGES.length - 2;
    const inBin = records.filter(
      ({ confidence }) => confidence >= from && (confidence < to || (last && confidence <= to)),
    );
    if (!inBin.length) return [];
    const hits = inBin.filter(({ hit }) => hit).length;
    const confidence = meanOf(inBin.map((record) => record.confidence));
    return [{ from, to, confidence, hits, ...shareInterval(hits, inBin.length) }];
  });
}

/**
 * Mean of confidence less hit (1 or 0), with Student's interval: above 0 the person is surer than right, below 0 more
 * right than sure. null for fewer than two answers.
 */
export function overconfidence(records: readonly AnswerRecord[]): Interval | null {
  return meanInterval(records.map(({ confidence, hit }) => confidence - (hit ? 1 : 0)));
}
