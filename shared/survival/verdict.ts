/** What becomes of a marker on one deck: the types that rules, threads, planner, checks and cards share. */

/** `holds`: all of it is there; `weakened`: there, but less of it, later or elsewhere; `lost`: not there. */
export type Outcome = 'holds' | 'weakened' | 'lost';

/** What can be done about a reason. An action that the app can carry out, or (`advice`) what the person does. */
export type Remedy =
  /** Give the cue this slot; a cue that has it gets the other's. */
  | { action: 'take-slot'; slot: number }
  /** Move the marker to this time, s. */
  | { action: 'move-to'; time: number }
  /** Set the loop's length in beats. */
  | { action: 'set-length'; beats: number }
  /** Put a structure mark here, s. */
  | { action: 'add-mark'; time: number; name: string }
  /** Put a hot cue here, s, in this slot. */
  | { action: 'add-cue'; time: number; name: string; slot: number | null }
  /** Carry a copy of the file that the deck loads. */
  | { action: 'make-copy' }
  /** Nothing to click: `key` into the words says what to do. */
  | { action: 'advice'; key: string };

export interface Reason {
  /** Message key, the rule's own name; words are in `words.ts`. */
  key: string;
  /** What the words need. Numbers are raw; the words round them. */
  params: Record<string, number | string>;
  outcome: Exclude<Outcome, 'holds'>;
  /** Best first; may be empty only where nothing can be done. */
  remedies: Remedy[];
}

export interface Verdict {
  markerId: string;
  profileId: string;
  /** The worst of the reasons; `holds` without any. */
  outcome: Outcome;
  /** Worst first. */
  reasons: Reason[];
}
