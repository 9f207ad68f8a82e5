/** What each kind of club music plays in a bar: steps in sixteenths (0..15), drawn anew for every track. */
import type { Random } from '../random.ts';
import type { KickKind } from './drums.ts';
import type { BassKind } from './tones.ts';

/** Kinds of club music; a kind that is played more stands there more often. Shares: estimate, no source. */
export const CLUB_STYLES = [
  'deep',
  'driving',
  'peak',
  'hypnotic',
  'trance',
  'fast breaks',
  'half-step',
  'garage',
  'breaks',
  'electro',
  'slow',
  'hard',
] as const;
export type ClubStyle = (typeof CLUB_STYLES)[number];

/** One bar, or two in turn: `steps[bar % steps.length]`. */
export type Steps = number[][];

export interface Groove {
  tempo: [number, number];
  kick: Steps;
  kickKind: KickKind;
  back: Steps;
  /** What plays the back-beat. */
  backKind: 'clap' | 'snare' | 'rim' | 'none';
  closed: Steps;
  open: Steps;
  shaker: Steps;
  hand: Steps;
  ghost: Steps;
  bass: Steps;
  bassKind: BassKind;
  /** Length of bass notes, sixteenths. */
  bassLength: number;
  pluck: Steps;
  stab: Steps;
  /** Where every second sixteenth falls in its pair: 0.5 is straight. */
  swing: number;
  /** Depth to which the kick pushes the rest down. */
  duck: number;
}

const FOUR = [[0, 4, 8, 12]];
const OFF = [[2, 6, 10, 14]];
const EIGHTHS = [[0, 2, 4, 6, 8, 10, 12, 14]];
const ALL = [Array.from({ length: 16 }, (_, i) => i)];
const BACK = [[4, 12]];
const ROLLING = [ALL[0].filter((s) => s % 4 !== 0)];
const NONE: Steps = [[]];

const some = (share: number, r: Random): Steps => [ALL[0].filter(() => r.chance(share))];
/** Every third sixteenth, running over the bar line for two bars. */
const THREES: Steps = [
  [0, 3, 6, 9, 12, 15],
  [2, 5, 8, 11, 14],
];

function base(
  r: Random,
): Omit<Groove, 'tempo' | 'kick' | 'kickKind' | 'back' | 'backKind' | 'bass' | 'bassKind'> {
  return {
    closed: r.pick([EIGHTHS, ALL, OFF, some(0.6, r)]),
    open: NONE,
    shaker: r.chance(0.35) ? ALL : NONE,
    hand: r.chance(0.35) ? some(0.25, r) : NONE,
    ghost: NONE,
    bassLength: r.range(0.8, 2),
    pluck: r.chance(0.5) ? r.pick([THREES, some(0.4, r), EIGHTHS, ALL, OFF]) : NONE,
    stab: NONE,
    swing: 0.5,
    duck: r.range(0, 0.9),
  };
}

export function clubGroove(style: ClubStyle, r: Random): Groove {
  const g = base(r);
  switch (style) {
    case 'deep':
      return {
        ...g,
        tempo: [116, 125],
        kick: FOUR,
        kickKind: r.pick(['round', 'punch', 'boom']),
        back: r.pick([
          BACK,
          BACK,
          [
            [4, 12],
            [4, 11, 12],
          ],
          NONE,
        ]),
        backKind: r.pick(['clap', 'rim', 'snare']),
        open: r.chance(0.7) ? OFF : NONE,
        bass: r.pick([
          [[0, 3, 6, 10, 14]],
          [[3, 6, 11, 14]],
          [[2, 6, 7, 10, 14]],
          [
            [0, 7, 10],
            [0, 6, 13],
          ],
          some(0.3, r),
        ]),
        bassKind: r.pick(['sub', 'pluck']),
        stab: r.pick([NONE, [[3, 10]], [[2, 5, 10, 13]], [[6, 14]], OFF]),
        swing: r.pick([0.5, r.range(0.52, 0.6)]),
      };
    case 'driving':
      return {
        ...g,
        tempo: [122, 130],
        kick: FOUR,
        kickKind: 'punch',
        back: r.chance(0.8) ? BACK : NONE,
        backKind: 'clap',
        open: r.chance(0.8) ? OFF : NONE,
        bass: r.pick([OFF, ROLLING, [[2, 3, 6, 10, 11, 14]], some(0.45, r), EIGHTHS]),
        bassKind: r.pick(['pluck', 'acid', 'growl']),
        stab: r.pick([NONE, OFF, [[3, 6, 14]]]),
        swing: r.pick([0.5, r.range(0.51, 0.57)]),
      };
    case 'peak':
      return {
        ...g,
        tempo: [128, 140],
        kick: FOUR,
        kickKind: r.pick(['punch', 'hard']),
        back: r.pick([NONE, BACK]),
        backKind: r.pick(['clap', 'snare']),
        open: r.chance(0.9) ? OFF : NONE,
        bass: r.pick([ROLLING, OFF, [[2, 3]], some(0.5, r)]),
        bassKind: r.pick(['acid', 'pluck', 'sub']),
        stab: r.pick([NONE, [[3]], [[6, 11]], OFF, [[14]]]),
      };
    case 'hypnotic':
      return {
        ...g,
        tempo: [126, 146],
        kick: FOUR,
        kickKind: r.pick(['round', 'punch', 'boom', 'hard']),
        back: r.chance(0.3) ? BACK : NONE,
        backKind: r.pick(['clap', 'rim']),
        open: r.chance(0.5) ? OFF : NONE,
        bass: r.pick([ROLLING, ALL, [[2, 3, 6, 7, 10, 11, 14, 15]]]),
        bassKind: 'sub',
        pluck: r.pick([THREES, some(0.35, r), ALL, NONE]),
        stab: r.chance(0.3) ? [[3, 9]] : NONE,
      };
    case 'trance':
      return {
        ...g,
        tempo: [132, 142],
        kick: FOUR,
        kickKind: 'punch',
        back: BACK,
        backKind: 'clap',
        open: OFF,
        bass: r.pick([ROLLING, OFF, [[2, 4, 6, 8, 10, 12, 14]]]),
        bassKind: r.pick(['pluck', 'acid']),
        pluck: r.pick([ALL, EIGHTHS, THREES]),
        stab: r.pick([NONE, OFF]),
      };
    case 'fast breaks':
      return {
        ...g,
        tempo: [168, 178],
        kick: r.pick([
          [[0, 10]],
          [
            [0, 10],
            [0, 2, 10],
          ],
          [[0, 10, 13]],
          [[0, 6, 10]],
        ]),
        kickKind: 'punch',
        back: r.pick([
          BACK,
          [
            [4, 12],
            [4, 12, 15],
          ],
        ]),
        backKind: 'snare',
        closed: r.pick([EIGHTHS, ALL, some(0.7, r)]),
        ghost: r.pick([NONE, [[7, 9]], [[7, 15]], some(0.15, r)]),
        bass: r.pick([
          [[0]],
          [[0, 10]],
          [
            [0, 6],
            [2, 10],
          ],
          [[0, 3, 8, 11]],
        ]),
        bassKind: r.pick(['growl', 'sub', 'acid']),
        bassLength: r.range(2, 7),
        pluck: r.chance(0.3) ? THREES : NONE,
      };
    case 'half-step':
      return {
        ...g,
        tempo: [136, 146],
        kick: r.pick([[[0]], [[0, 10]], [[0, 3]], [[0], [0, 6, 14]]]),
        kickKind: r.pick(['punch', 'boom']),
        back: [[8]],
        backKind: r.pick(['snare', 'clap']),
        closed: r.pick([EIGHTHS, ALL, [[0, 2, 3, 4, 6, 8, 10, 11, 12, 14, 15]], some(0.7, r)]),
        bass: r.pick([[[0]], [[0, 6, 12]], [[2, 5, 8, 11]], [[0, 3, 10]]]),
        bassKind: r.pick(['growl', 'sub', 'acid']),
        bassLength: r.range(2, 6),
        pluck: r.chance(0.3) ? THREES : NONE,
      };
    case 'garage':
      return {
        ...g,
        tempo: [128, 138],
        kick: r.pick([
          [[0, 10]],
          [[0, 7, 10]],
          [
            [0, 10],
            [0, 6, 11],
          ],
          FOUR,
        ]),
        kickKind: r.pick(['punch', 'round']),
        back: BACK,
        backKind: r.pick(['clap', 'snare', 'rim']),
        closed: r.pick([some(0.7, r), OFF, ALL]),
        open: r.chance(0.4) ? OFF : NONE,
        ghost: r.pick([NONE, [[7, 15]], [[3, 9]]]),
        bass: r.pick([[[0, 6, 11]], [[3, 10]], some(0.3, r)]),
        bassKind: r.pick(['sub', 'pluck', 'growl']),
        stab: r.pick([NONE, [[0, 3, 6]], [[2, 10, 13]]]),
        swing: r.range(0.53, 0.64),
      };
    case 'breaks':
      return {
        ...g,
        tempo: [122, 136],
        kick: r.pick([
          [[0, 10]],
          [[0, 2, 10]],
          [
            [0, 3, 10],
            [0, 6, 10],
          ],
          [[0, 7, 8]],
        ]),
        kickKind: r.pick(['punch', 'boom']),
        back: r.pick([
          BACK,
          [
            [4, 12],
            [4, 10, 12],
          ],
        ]),
        backKind: 'snare',
        closed: r.pick([EIGHTHS, ALL]),
        ghost: r.pick([NONE, [[7, 9, 15]], some(0.2, r)]),
        bass: r.pick([[[0, 6]], [[0, 3, 8, 11]], OFF, some(0.35, r)]),
        bassKind: r.pick(['acid', 'growl', 'pluck']),
        swing: r.pick([0.5, r.range(0.52, 0.58)]),
      };
    case 'electro':
      return {
        ...g,
        tempo: [118, 132],
        kick: r.pick([
          [[0, 6, 10]],
          [[0, 3, 6, 10]],
          [
            [0, 6],
            [0, 10],
          ],
          [[0, 7, 10]],
        ]),
        kickKind: r.pick(['boom', 'punch']),
        back: BACK,
        backKind: r.pick(['snare', 'clap']),
        closed: r.pick([ALL, EIGHTHS]),
        bass: r.pick([EIGHTHS, ALL, [[0, 3, 6, 8, 11, 14]], some(0.5, r)]),
        bassKind: r.pick(['acid', 'pluck']),
      };
    case 'slow':
      return {
        ...g,
        tempo: [78, 112],
        kick: r.pick([FOUR, [[0, 10]], [[0, 7, 10]], [[0, 8]]]),
        kickKind: r.pick(['round', 'punch', 'boom']),
        back: BACK,
        backKind: r.pick(['snare', 'clap', 'rim']),
        closed: r.pick([EIGHTHS, ALL, some(0.5, r)]),
        bass: r.pick([[[0, 10]], [[0, 6, 8]], OFF, EIGHTHS]),
        bassKind: r.pick(['sub', 'pluck']),
        swing: r.pick([0.5, r.range(0.52, 0.62)]),
      };
    case 'hard':
      return {
        ...g,
        tempo: [148, 172],
        kick: FOUR,
        kickKind: 'hard',
        back: r.pick([NONE, BACK]),
        backKind: 'clap',
        open: r.chance(0.7) ? OFF : NONE,
        bass: r.pick([OFF, ROLLING]),
        bassKind: r.pick(['pluck', 'growl', 'acid']),
        stab: r.pick([NONE, OFF, [[0, 3, 6, 10]]]),
      };
  }
}
