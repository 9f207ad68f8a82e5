/**
 * Heavy pieces of painting take turns: one to a task of the event loop, and one that comes in steps only as many of
 * them as fit, so that the page stays responsive however many rungs there are and however long the track is. A later
 * piece of the same owner replaces one that still waits.
 */

/** Steps go on for so long within one task, ms: half of a frame at 60 Hz. */
const SLICE_MS = 8;

/** What is to be done, at once or step by step. */
export type Work = () => Iterator<void> | void;

const waiting = new Map<object, Work>();
const channel = new MessageChannel();
let running = false;
/** The piece that has begun and is not done. */
let begun: { work: Work; steps: Iterator<void> } | null = null;

channel.port1.onmessage = () => {
  const [next] = waiting;
  if (!next) {
    running = false;
    return;
  }
  try {
    goOn(...next);
  } finally {
    channel.port2.postMessage(null);
  }
};

/** One slice of `work`; it leaves the queue when it is done or fails. */
function goOn(owner: object, work: Work): void {
  let done = true;
  try {
    if (begun?.work !== work) {
      begun = null;
      const steps = work();
      if (steps) begun = { work, steps };
    }
    if (begun) {
      const until = performance.now() + SLICE_MS;
      do done = begun.steps.next().done === true;
      while (!done && performance.now() < until);
    }
  } finally {
    if (done) {
      begun = null;
      // It may have asked for another turn itself.
      if (waiting.get(owner) === work) waiting.delete(owner);
    }
  }
}

/** Runs `work` when its turn comes. */
export function inTurn(owner: object, work: Work): void {
  waiting.set(owner, work);
  if (running) return;
  running = true;
  channel.port2.postMessage(null);
}

/** Takes back what `owner` still waits for. */
export function outOfTurn(owner: object): void {
  if (begun && begun.work === waiting.get(owner)) begun = null;
  waiting.delete(owner);
}
