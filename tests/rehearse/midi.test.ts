/** Messages of controllers, by the bytes of the MIDI 1.0 specification. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { learnt, MidiHands, readMidi } from '../../src/rehearse/midi.ts';

describe('reading a message', () => {
  it('knows buttons, knobs and pitch bend, by channel', () => {
    expect(readMidi([0x90, 60, 127])).toEqual({ source: 'note 1 60', kind: 'button', value: 1 });
    expect(readMidi([0x83, 60, 64])).toEqual({ source: 'note 4 60', kind: 'button', value: 0 });
    expect(readMidi([0xb2, 7, 127])).toEqual({ source: 'control 3 7', kind: 'value', value: 1 });
    expect(readMidi([0xe0, 0, 64])).toMatchObject({ source: 'bend 1', kind: 'value' });
    expect(readMidi([0xe0, 0x7f, 0x7f])?.value).toBe(1);
  });

  it('takes a note on without velocity for letting go', () => {
    expect(readMidi([0x90, 60, 0])).toEqual({ source: 'note 1 60', kind: 'button', value: 0 });
  });

  it('leaves clock, sensing, program, aftertouch, modes and pieces alone', () => {
    for (const data of [
      [0xf8],
      [0xfe],
      [0xc0, 5],
      [0xd0, 5],
      [0xa0, 60, 5],
      [0xb0, 123, 0],
      [0x90, 60],
      [],
    ]) {
      expect(readMidi(data)).toBeNull();
    }
  });

  it('never gives a value outside 0..1, whatever comes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 6 }), (data) => {
        const move = readMidi(data);
        if (move) expect(move.value >= 0 && move.value <= 1).toBe(true);
      }),
    );
  });
});

describe('what a control presses', () => {
  const play = { deck: 0, control: 'play' } as const;
  const move = (value: number, kind: 'button' | 'value' = 'value') => ({
    source: 'control 1 7',
    kind,
    value,
  });

  it('is one press and one letting go, however it slides', () => {
    const hands = new MidiHands();
    const done = [0.1, 0.4, 0.6, 0.9, 0.7, 0.3, 0.1].map((value) => hands.take(move(value), play));
    expect(done).toEqual([null, null, 'down', null, null, 'up', null]);
  });

  it('of a button is its velocity’s press', () => {
    const hands = new MidiHands();
    expect(hands.take(move(0.2, 'button'), play)).toBe('down');
    expect(hands.take(move(0, 'button'), play)).toBe('up');
    expect(hands.take(move(0, 'button'), play)).toBeNull();
  });

  it('of a fader is its value, and a button moves none', () => {
    const hands = new MidiHands();
    const fader = { deck: 1, control: 'fader tempo' } as const;
    expect(hands.take(move(0.25), fader)).toBe(0.25);
    expect(hands.take(move(1, 'button'), fader)).toBeNull();
  });

  it('is learnt anew: one source for one control, the last one that was moved', () => {
    const one = learnt({}, 'note 1 60', play);
    const two = learnt(one, 'note 1 61', { deck: 1, control: 'play' });
    expect(learnt(two, 'note 1 62', play)).toEqual({
      'note 1 61': { deck: 1, control: 'play' },
      'note 1 62': play,
    });
    expect(learnt(two, 'note 1 60', { deck: 0, control: 'cue' })['note 1 60'].control).toBe('cue');
  });
});
