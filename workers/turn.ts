/** Turns of the event loop in the middle of long work, so that messages (a cancel perhaps) can arrive. */

/**
 * Resolves after the messages that have arrived by now were delivered. Under Node by `setImmediate`. In browsers by
 * a message of our own, which queues up behind the others: a timer would wait 4 ms each time (HTML standard,
 * "timer initialization steps": timeouts nested more than five deep).
 */
export function eventTurn(): Promise<void> {
  if (typeof setImmediate === 'function') return new Promise((resolve) => setImmediate(resolve));
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });
}
