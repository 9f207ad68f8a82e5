import { afterEach, describe, expect, it, vi } from 'vitest';
import { eventTurn } from '../../workers/turn.ts';

afterEach(() => vi.unstubAllGlobals());

describe.each(['as under Node', 'as in browsers'])('a turn of the event loop, %s', (where) => {
  it('lets a message through that was sent before, every time', async () => {
    if (where === 'as in browsers') vi.stubGlobal('setImmediate', undefined);
    const { port1, port2 } = new MessageChannel();
    let received = 0;
    port1.onmessage = () => received++;
    // Node starts a port on its own turn; after that messages keep their order.
    while (received === 0) {
      port2.postMessage(null);
      await eventTurn();
    }
    for (let n = 0; n < 20; n++) {
      const before = received;
      port2.postMessage(null);
      await eventTurn();
      expect(received).toBeGreaterThan(before);
    }
    port1.close();
  });

  it('comes back when nothing else is waiting', async () => {
    if (where === 'as in browsers') vi.stubGlobal('setImmediate', undefined);
    await expect(eventTurn()).resolves.toBeUndefined();
  });
});
