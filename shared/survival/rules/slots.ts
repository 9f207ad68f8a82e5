/** Whether a hot cue's slot is there, and how near to the hand. */
import { advice, lost, rule, weakened } from './rule.ts';
import { markInstead, slotFor } from './place.ts';

/** Bank that a slot is on, counted from 1; 1 where the deck has no buttons. */
export const bankOf = (slot: number, buttons: number): number => (buttons ? Math.ceil(slot / buttons) : 1);

export const slotRules = [
  rule('no-slots', ['cue'], (cue, context) =>
    context.profile.hotCues.slots ? null : lost({}, markInstead(context, cue) ?? advice('find-by-ear')),
  ),
  rule('no-slot-yet', ['cue'], (cue, context) => {
    const { slots } = context.profile.hotCues;
    if (cue.slot !== null || !slots) return null;
    return lost(
      { slots },
      slotFor(context, cue, slots) ?? advice('others-matter-more'),
      markInstead(context, cue),
    );
  }),
  rule('slot-beyond', ['cue'], (cue, context) => {
    const { slots } = context.profile.hotCues;
    if (cue.slot === null || !slots || cue.slot <= slots) return null;
    return lost(
      { slot: cue.slot, slots },
      slotFor(context, cue, slots) ?? advice('others-matter-more'),
      markInstead(context, cue),
    );
  }),
  rule('second-bank', ['cue'], (cue, context) => {
    const { slots, buttons } = context.profile.hotCues;
    if (cue.slot === null || cue.slot > slots) return null;
    const bank = bankOf(cue.slot, buttons);
    if (bank < 2) return null;
    return weakened(
      { slot: cue.slot, bank, buttons },
      // A swap with one that matters as much would only move the trouble.
      slotFor(context, cue, buttons, true),
      advice('switch-bank'),
    );
  }),
  rule('recall-by-hand', ['cue'], (cue, { profile }) => {
    const { recall, recallPresses, slots } = profile.hotCues;
    if (recall !== 'by-hand' || cue.slot === null || cue.slot > slots) return null;
    return weakened({ slot: cue.slot, presses: recallPresses }, advice('load-first'));
  }),
];
