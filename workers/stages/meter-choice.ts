import { vectorOrPlain } from '../../shared/simd/vectors.ts';
import { SimdSplitMeter } from './simd/simd-split-meter.ts';
import { PlainSplitMeter, type SplitMeter } from './split-meter.ts';
import type { StreamInfo } from './stage.ts';

/** The fastest split meter that works here: some older browsers have no vector instructions. */
export function createSplitMeter(info: StreamInfo): SplitMeter {
  return vectorOrPlain<SplitMeter>(
    () => new SimdSplitMeter(info),
    () => new PlainSplitMeter(info),
  );
}
