/** The MIDI devices of this computer, what their controls press, and the learning of it. */
import { learnt, type MidiMap, MidiHands, type MidiTarget, readMidi } from './midi.ts';
import { words } from './words.ts';

export interface MidiTools {
  /** As kept in the settings. */
  map: () => MidiMap;
  keep: (map: MidiMap) => void;
  /** @param time of the message on the page's clock, ms */
  act: (target: MidiTarget, what: 'down' | 'up' | number, time: number) => void;
}

export class MidiState {
  readonly supported = typeof navigator !== 'undefined' && 'requestMIDIAccess' in navigator;
  /** Names of the connected devices; null: not asked for yet. */
  devices = $state.raw<readonly string[] | null>(null);
  learning = $state(false);
  /** What was pressed on the screen while learning, with its label. */
  target = $state.raw<(MidiTarget & { label: string }) | null>(null);
  sentence = $state('');

  #access: MIDIAccess | null = null;
  readonly #tools: MidiTools;
  readonly #hands = new MidiHands();

  constructor(tools: MidiTools) {
    this.#tools = tools;
  }

  async connect(): Promise<void> {
    try {
      this.#access = await navigator.requestMIDIAccess();
      this.#access.onstatechange = () => this.#listen();
      this.sentence = '';
      this.#listen();
    } catch {
      this.sentence = words.midi.refused;
    }
  }

  setLearning(on: boolean): void {
    this.learning = on;
    this.target = null;
    this.sentence = on ? words.midi.learning : '';
  }

  /** A control of the screen was pressed while learning. */
  aim(target: MidiTarget, label: string): void {
    this.target = { ...target, label };
    this.sentence = words.midi.waiting(label);
  }

  forget(): void {
    this.#tools.keep({});
    this.sentence = '';
  }

  dispose(): void {
    if (!this.#access) return;
    this.#access.onstatechange = null;
    for (const input of this.#access.inputs.values()) input.onmidimessage = null;
  }

  #listen(): void {
    const inputs = [...(this.#access?.inputs.values() ?? [])].filter(({ state }) => state === 'connected');
    this.devices = inputs.map(({ name }) => name ?? 'MIDI');
    for (const input of inputs) input.onmidimessage = (event) => this.#take(event);
  }

  #take({ data, timeStamp }: MIDIMessageEvent): void {
    const move = data && readMidi(data);
    if (!move) return;
    if (this.learning) {
      const { target } = this;
      // Letting go of what was learnt is not the next one.
      if (!target || move.value === 0) return;
      const { deck, control, label } = target;
      this.#tools.keep(learnt(this.#tools.map(), move.source, { deck, control }));
      this.target = null;
      this.sentence = words.midi.learnt(label);
      return;
    }
    const target = this.#tools.map()[move.source];
    if (!target) return;
    const what = this.#hands.take(move, target);
    if (what !== null) this.#tools.act(target, what, timeStamp);
  }
}
