/** Whether stored structure marks are shown. */
import { advice, labelOf, lost, rule } from './rule.ts';
import { cueInstead, standsAt } from './place.ts';

/** Names told in a sentence; the rest is counted. */
const MOST_NAMES = 3;

export const markRules = [
  rule('marks-not-shown', ['mark'], (mark, context) => {
    if (context.profile.marks.shown) return null;
    if (context.reachable.some((cue) => standsAt(context, cue, mark.time))) {
      return lost({}, advice('cue-stands-there'));
    }
    return lost({}, cueInstead(context, mark.time, mark.name) ?? advice('find-by-ear'));
  }),
  rule('marks-beyond-limit', ['mark'], (mark, context) => {
    const { profile, marksByRank, shownMarks } = context;
    if (!profile.marks.shown || shownMarks.has(mark.id)) return null;
    const { limit } = profile.marks;
    const lowest = marksByRank.slice(Math.max(0, limit - MOST_NAMES), limit);
    return lost(
      { limit, marks: marksByRank.length, last: lowest.map(labelOf).join(', ') },
      advice('raise-importance'),
      cueInstead(context, mark.time, mark.name),
    );
  }),
];
