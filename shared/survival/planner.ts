/**
 * Which hot cue belongs in which slot, given what matters and the decks of a booth. It proposes; nothing is changed
 * until the person takes the plan.
 *
 * The slots fall into tiers: each deck's number of slots, and the first bank of each, ends one. The cues that matter
 * most go to the first tier, the next to the second, and so on, so that on every deck those in reach are the ones that
 * matter most. Decisions:
 * - Among cues of equal importance one that is in the tier already stays, since neither needs to move; then the
 *   earlier one has the place.
 * - A cue that is in its tier keeps its slot. Those that come in take the free slots in order of time. So time order
 *   is kept where it costs nothing and never restored by moving a cue that need not move.
 * - A cue without a slot is given one as if it came from outside; one for which no deck of the booth has room keeps a
 *   slot that none of them reaches, or has none.
 */
import { cuesOf, type HotCue, MAX_SLOT } from '../markers/marker.ts';
import type { DeckProfile } from '../profile/schema.ts';
import { labelOf } from './rules/rule.ts';
import { bankOf } from './rules/slots.ts';

/** Cues that matter most and belong in the first slots, where a deck has so many. */
export const FIRST_SLOTS = 3;

/** Why a cue moves. `why.key` is a key of `planWords`. */
export interface SlotMove {
  markerId: string;
  from: number | null;
  to: number | null;
  why: { key: PlanKey; params: Record<string, number | string> };
}

/**
 * `into-reach`: decks that did not have its slot have the new one. `nearer-bank`: a deck reaches it with fewer
 * presses. `among-first`: it is one of the three that matter most. `had-no-slot`: it had none. `makes-room`: its slot
 * goes to one that matters more. `no-room`: that, and none is free.
 */
export type PlanKey = 'into-reach' | 'nearer-bank' | 'among-first' | 'had-no-slot' | 'makes-room' | 'no-room';

export interface SlotPlan {
  /** In order of the slots that they end in; empty when nothing needs to move. */
  moves: SlotMove[];
  /** The cues as they are and as they would be, in order of time. Nothing but slots differs. */
  before: HotCue[];
  after: HotCue[];
  /** Ids of the cues that keep what they have, in order of time. */
  kept: string[];
  /** Last slot of each tier, rising; empty where no deck has hot cues. */
  tiers: number[];
}

/** Last slot of each tier: where a deck's slots or its first bank end; rising, at most MAX_SLOT. */
export function slotTiers(profiles: readonly DeckProfile[]): number[] {
  const ends = new Set<number>();
  for (const { hotCues } of profiles) {
    const slots = Math.min(hotCues.slots, MAX_SLOT);
    if (slots) ends.add(slots);
    if (hotCues.buttons) ends.add(Math.min(hotCues.buttons, slots));
  }
  ends.delete(0);
  const all = [...ends];
  // A deck with one or two slots does not take the first three from those that have them.
  if (Math.min(...all) < FIRST_SLOTS && Math.max(...all) >= FIRST_SLOTS) ends.add(FIRST_SLOTS);
  return [...ends].sort((a, b) => a - b);
}

/**
 * The plan for the hot cues of one track in a booth with these decks.
 * @param cues all hot cues of the track
 * @param profiles the decks; those without hot cues do not count
 */
export function planSlots(cues: readonly HotCue[], profiles: readonly DeckProfile[]): SlotPlan {
  const before = cuesOf(cues);
  const tiers = slotTiers(profiles);
  const slotOf = assign(before, tiers);
  const after = before.map((cue) => ({ ...cue, slot: slotOf.get(cue.id) ?? null }));
  const moved = after.filter((cue, i) => cue.slot !== before[i].slot);
  const moves = moved.map((cue): SlotMove => {
    const was = before.find(({ id }) => id === cue.id) as HotCue;
    return { markerId: cue.id, from: was.slot, to: cue.slot, why: whyOf(was, cue, after, profiles) };
  });
  moves.sort((a, b) => (a.to ?? Infinity) - (b.to ?? Infinity));
  const kept = after.filter((cue) => !moved.includes(cue)).map(({ id }) => id);
  return { moves, before, after: cuesOf(after), kept, tiers };
}

function assign(cues: readonly HotCue[], tiers: readonly number[]): Map<string, number | null> {
  const slotOf = new Map<string, number | null>();
  let waiting = [...cues];
  let first = 1;
  for (const last of tiers) {
    const inTier = ({ slot }: HotCue) => slot !== null && slot >= first && slot <= last;
    const chosen = [...waiting]
      .sort((a, b) => b.importance - a.importance || Number(inTier(b)) - Number(inTier(a)) || a.time - b.time)
      .slice(0, last - first + 1);
    const stay = chosen.filter(inTier);
    stay.forEach((cue) => slotOf.set(cue.id, cue.slot));
    const free = slotsBetween(first, last, new Set(stay.map(({ slot }) => slot)));
    cuesOf(chosen.filter((cue) => !inTier(cue))).forEach((cue, i) => slotOf.set(cue.id, free[i]));
    waiting = waiting.filter((cue) => !chosen.includes(cue));
    first = last + 1;
  }
  // Nothing reaches the rest: they keep a slot beyond the decks, or take one that is free there.
  const rest = waiting.filter(({ slot }) => slot !== null && slot >= first);
  rest.forEach((cue) => slotOf.set(cue.id, cue.slot));
  const free = slotsBetween(first, MAX_SLOT, new Set(rest.map(({ slot }) => slot)));
  cuesOf(waiting.filter((cue) => !rest.includes(cue))).forEach((cue) =>
    slotOf.set(cue.id, cue.slot === null ? null : (free.shift() ?? null)),
  );
  return slotOf;
}

function slotsBetween(first: number, last: number, taken: ReadonlySet<number | null>): number[] {
  const slots: number[] = [];
  for (let slot = first; slot <= last; slot++) if (!taken.has(slot)) slots.push(slot);
  return slots;
}

function whyOf(
  was: HotCue,
  is: HotCue,
  after: readonly HotCue[],
  profiles: readonly DeckProfile[],
): SlotMove['why'] {
  const { slot: from } = was;
  const { slot: to } = is;
  if (from === null) return { key: 'had-no-slot', params: { slot: to as number } };
  if (to === null || to > from) {
    const by = after.find(({ slot }) => slot === from) as HotCue;
    // Told by its name or its time: its slot is the one in question.
    return {
      key: to === null ? 'no-room' : 'makes-room',
      params: { slot: from, by: labelOf({ ...by, slot: null }) },
    };
  }
  const names = (gains: (deck: DeckProfile['hotCues']) => boolean) =>
    profiles.filter(({ hotCues }) => gains(hotCues)).map(({ name }) => name);
  const reached = names(({ slots }) => from > slots && to <= slots);
  if (reached.length) return { key: 'into-reach', params: { slot: from, decks: reached.join(', ') } };
  const nearer = names(({ slots, buttons }) => from <= slots && bankOf(to, buttons) < bankOf(from, buttons));
  if (nearer.length) return { key: 'nearer-bank', params: { slot: from, decks: nearer.join(', ') } };
  return { key: 'among-first', params: { slots: FIRST_SLOTS } };
}
