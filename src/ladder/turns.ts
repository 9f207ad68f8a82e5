/**
 * Heavy pieces of painting take turns: one to a task of the event loop, so that the page stays responsive
 * however many rungs there are. A later piece of the same owner replaces one that still waits.
 */

const waiting = new Map<object, () => void>();
const channel = new MessageChannel();
let running = false;

channel.port1.onmessage = () => {
  const [next] = waiting;
  if (!next) {
    running = false;
    return;
  }
  const [owner, work] = next;
  waiting.delete(owner);
  try {
    work();
  } finally {
    channel.port2.postMessage(null);
  }
};

/** Runs `work` when its turn comes. */
export function inTurn(owner: object, work: () => void): void {
  waiting.set(owner, work);
  if (running) return;
  running = true;
  channel.port2.postMessage(null);
}

/** Takes back what `owner` still waits for. */
export function outOfTurn(owner: object): void {
  waiting.delete(owner);
}
