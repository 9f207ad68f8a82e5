/** The change that a marker stands for cannot be seen. */
import { VISIBLE_CONTRAST } from '../contrast.ts';
import { markInstead, sectionBeginsAt } from './place.ts';
import { advice, rule, weakened } from './rule.ts';

export const sightRules = [
  rule('change-unseen', ['cue', 'mark'], (marker, context) => {
    // A mark says that something changes there; a cue does so only where a section begins.
    const atChange = marker.kind === 'mark' || sectionBeginsAt(context, marker.time);
    const contrast = atChange ? context.sight.hidden(marker.time) : null;
    if (!contrast) return null;
    return weakened(
      {
        contrast: contrast.value,
        needed: VISIBLE_CONTRAST,
        ...(contrast.windowBars === null
          ? { seconds: contrast.secondsBefore }
          : { bars: contrast.windowBars }),
      },
      marker.kind === 'cue' ? markInstead(context, marker) : null,
      advice('count-bars'),
    );
  }),
];
