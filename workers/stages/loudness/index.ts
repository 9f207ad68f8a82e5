/**
 * Programme loudness: integrated, momentary and short-term maximum and true peak after ITU-R BS.1770-4 and EBU Tech 3341,
 * range after EBU Tech 3342.
 */
import type { Loudness } from '../../../shared/analysis.ts';
import { release } from '../../release.ts';
import type { Stage, StreamInfo } from '../stage.ts';
import { channelWeights } from './channel-weights.ts';
import { FINE_PER_SECOND, integrated, loudnessRange, momentaryMax, shortTermMax, stepsOf } from './gating.ts';
import { type KWeighting, kWeighting } from './k-weighting.ts';
import { createPairWeigher, type PairWeigher } from './pair-weigher.ts';
import { TruePeak } from './true-peak.ts';

/** Steps kept before the store first grows: ten minutes. */
const FIRST_CAPACITY = 600 * FINE_PER_SECOND;

/** Two channels that are filtered together; a lone one is paired with itself at weight 0. */
interface Pair {
  left: number;
  right: number;
  weightLeft: number;
  weightRight: number;
  weigher: PairWeigher;
}

/**
 * Measures loudness at any sample rate, in memory of fifty numbers per second.
 * Its result is null where loudness is not defined: a track shorter than 400 ms, or one without any 400 ms
 * above −70 LUFS (silence).
 */
export function createLoudnessStage(info: StreamInfo): Stage<Loudness | null> {
  const pairs = pairUp(info.channels, kWeighting(info.sampleRate));
  const truePeaks = Array.from({ length: info.channels }, () => new TruePeak(info.sampleRate));
  const stepEnd = (index: number) => Math.round(((index + 1) * info.sampleRate) / FINE_PER_SECOND);
  // Not each step's own length, which differs by a sample at some rates: longer means come out exact so.
  const stepLength = info.sampleRate / FINE_PER_SECOND;
  let steps = new Float64Array(FIRST_CAPACITY);
  let count = 0;
  let position = 0;

  const closeStep = () => {
    if (count === steps.length) {
      const larger = new Float64Array(steps.length * 2);
      larger.set(steps);
      release(steps);
      steps = larger;
    }
    let sum = 0;
    for (const pair of pairs) {
      const { power } = pair.weigher;
      sum += pair.weightLeft * power[0] + pair.weightRight * power[1];
      power.fill(0);
    }
    steps[count++] = sum / stepLength;
  };

  return {
    push(block) {
      const length = block[0]?.length ?? 0;
      for (let from = 0; from < length;) {
        const to = Math.min(length, from + stepEnd(count) - position);
        for (const { left, right, weigher } of pairs) weigher.weigh(block[left], block[right], from, to);
        position += to - from;
        from = to;
        if (position === stepEnd(count)) closeStep();
      }
      block.forEach((samples, channel) => truePeaks[channel].push(samples));
    },

    finish() {
      // An unfinished step is left out, as BS.1770-4 leaves out an unfinished gating block.
      const fine = steps.subarray(0, count);
      const measured = stepsOf(fine);
      const integratedDb = integrated(measured);
      if (integratedDb === -Infinity) return null;
      const peak = Math.max(...truePeaks.map((meter) => meter.finish()));
      return {
        integratedDb,
        momentaryMaxDb: momentaryMax(fine),
        shortTermMaxDb: shortTermMax(fine),
        rangeDb: loudnessRange(measured),
        truePeakDb: 20 * Math.log10(peak),
      };
    },
  };
}

function pairUp(channels: number, weighting: KWeighting): Pair[] {
  const weights = channelWeights(channels);
  const heard = weights.flatMap((weight, channel) => (weight > 0 ? [channel] : []));
  const pairs: Pair[] = [];
  for (let i = 0; i < heard.length; i += 2) {
    const left = heard[i];
    const right = heard[i + 1] ?? left;
    pairs.push({
      left,
      right,
      weightLeft: weights[left],
      weightRight: right === left ? 0 : weights[right],
      weigher: createPairWeigher(weighting),
    });
  }
  return pairs;
}
