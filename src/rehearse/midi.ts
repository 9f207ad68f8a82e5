/** Messages of MIDI devices that a deck can be worked with: MIDI 1.0 Detailed Specification, channel voice messages. */

const NOTE_OFF = 0x80;
const NOTE_ON = 0x90;
const CONTROL_CHANGE = 0xb0;
const PITCH_BEND = 0xe0;
const MOST = 127;
const MOST_BEND = 2 ** 14 - 1;

export interface MidiMove {
  /** Names the knob or button, the same each time. */
  source: string;
  /** A button goes down or up; what turns or slides has a value. */
  kind: 'button' | 'value';
  /** 0..1; a button: 0 up, else its velocity */
  value: number;
}

/** @returns null for a message that is no move of a hand (clock, sensing, program, aftertouch) or is cut off */
export function readMidi(data: ArrayLike<number>): MidiMove | null {
  const status = data[0] & 0xf0;
  const channel = (data[0] & 0x0f) + 1;
  if (data.length < 3 || data[1] > MOST || data[2] > MOST) return null;
  switch (status) {
    case NOTE_ON:
    case NOTE_OFF:
      // A note on without velocity is a note off.
      return {
        source: `note ${channel} ${data[1]}`,
        kind: 'button',
        value: status === NOTE_ON ? data[2] / MOST : 0,
      };
    case CONTROL_CHANGE:
      // From 120 on they are modes of the channel, not controls.
      return data[1] >= 120
        ? null
        : { source: `control ${channel} ${data[1]}`, kind: 'value', value: data[2] / MOST };
    case PITCH_BEND:
      return {
        source: `bend ${channel}`,
        kind: 'value',
        value: (data[1] + data[2] * (MOST + 1)) / MOST_BEND,
      };
    default:
      return null;
  }
}

/** What a source works. */
export interface MidiTarget {
  deck: 0 | 1;
  /** Id of a button, or one of the faders. */
  control: string;
}
/** By source. */
export type MidiMap = Readonly<Record<string, MidiTarget>>;

export const FADERS = ['fader tempo', 'fader crossfade', 'fader volume'] as const;
export type Fader = (typeof FADERS)[number];
export const isFader = (control: string): control is Fader => (FADERS as readonly string[]).includes(control);

/** The map with one more source; what the target had before lets go of it. */
export function learnt(map: MidiMap, source: string, target: MidiTarget): MidiMap {
  const rest = Object.entries(map).filter(
    ([, { deck, control }]) => deck !== target.deck || control !== target.control,
  );
  return { ...Object.fromEntries(rest), [source]: target };
}

/** Turns moves into presses: what slides presses a button when it passes the middle, and lets it go below. */
export class MidiHands {
  readonly #down = new Set<string>();

  /** @returns what the target does: `down` and `up` for a button, a value for a fader; null: nothing new */
  take({ source, kind, value }: MidiMove, { control }: MidiTarget): 'down' | 'up' | number | null {
    if (isFader(control)) return kind === 'value' ? value : null;
    const down = kind === 'button' ? value > 0 : value >= 0.5;
    if (down === this.#down.has(source)) return null;
    if (down) this.#down.add(source);
    else this.#down.delete(source);
    return down ? 'down' : 'up';
  }
}
