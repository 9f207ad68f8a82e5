/** The sound of two rehearsal decks: processor time beside the time that it fills. */
import { Mixer } from '../../workers/sound/mixer.ts';
import { noise } from '../stages/signals.ts';
import { against, type Bench, ratio, type Table } from './table.ts';

const RATE = 48_000;
const QUANTUM = 128;
const SECONDS = 20;
/** Of the time that it fills: a page has other things to do on two cores. */
const TARGET = 0.1;

const CASES: { what: string; rate: number; keyLock: boolean }[] = [
  { what: 'both at their own tempo, looping', rate: 1, keyLock: false },
  { what: 'both at +4 %', rate: 1.04, keyLock: false },
  { what: 'both at +4 %, key kept', rate: 1.04, keyLock: true },
  { what: 'both at +50 %, key kept', rate: 1.5, keyLock: true },
  { what: 'both winding', rate: 8, keyLock: false },
];

/** s of processor time for SECONDS of sound */
function measure(rate: number, keyLock: boolean): number {
  const mixer = new Mixer(RATE);
  const pcm = [noise(RATE * 60, 0.5, 1), noise(RATE * 60, 0.5, 2)] as const;
  const desk = { volume: 1, phones: 1, crossfade: 0.5, fades: true };
  mixer.take({ kind: 'desk', desk: { ...desk, listen: [true, true], keyLock: [keyLock, keyLock] } });
  for (const deck of [0, 1]) {
    mixer.take({ kind: 'track', deck, pcm });
    const loop = { start: 0.96, end: 4.8 };
    mixer.take({ kind: 'move', deck, movements: [{ time: 0, position: 1, rate, loop }] });
  }
  const bus = () => [new Float32Array(QUANTUM), new Float32Array(QUANTUM)] as const;
  const [room, phones] = [bus(), bus()];
  const before = process.cpuUsage();
  for (let at = 0; at < SECONDS * RATE; at += QUANTUM) mixer.render(room, phones, at);
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}

export const soundBench: Bench = {
  name: 'sound',
  async run(): Promise<Table[]> {
    measure(1.04, true);
    const rows = CASES.map(({ what, rate, keyLock }) => {
      const share = measure(rate, keyLock) / SECONDS;
      return [what, ratio(share), against(share, TARGET)];
    });
    return [
      {
        title: 'Sound of two rehearsal decks',
        note: `Processor time ÷ the time that it fills, ${SECONDS} s at ${RATE / 1000} kHz.`,
        head: ['what', 'processor ÷ time', 'target'],
        rows,
      },
    ];
  },
};
