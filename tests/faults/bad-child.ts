/** A program that goes wrong as decoders could, to see that the watch tells it: 2 never ends, 3 dies, 5 eats memory. */
import type { FromChild } from './watched.ts';

const tell = (message: FromChild) => void process.send!(message);

process.on('message', (seeds: number[]) => {
  for (const seed of seeds) {
    tell({ begun: seed });
    const stop = () => Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0);
    // The message must have left before this process stands still.
    if (seed === 2) return void setTimeout(stop, 50);
    if (seed === 3) return void setTimeout(() => process.exit(7), 50);
    if (seed === 5) {
      const held: number[][] = [];
      return void setTimeout(() => {
        for (;;) held.push(new Array<number>(1e6).fill(seed));
      }, 50);
    }
    tell({ ended: { seed, file: 'x', analysis: 'done', wrong: [] }, residentBytes: 1 });
  }
  tell({ finished: true });
});
tell({ ready: true });
