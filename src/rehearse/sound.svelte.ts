/** The sound of the rehearsal decks as the page sees it: the audio engine, the player in its thread, the two outputs. */
import { type DeskState, type SoundOrder, STILL_DESK } from '../../workers/sound/mixer.ts';
import type { TrackPcm } from '../../workers/pcm.ts';
import { LatencyMeter } from './latency.svelte.ts';
import { PLAYER, PLAYER_OUTPUTS, type PlayerReport } from './player.ts';
import workletUrl from './player-worklet.ts?worker&url';
import { words } from './words.ts';

/** The player's gain at full volume: two loud tracks together stay below full scale. */
const HEADROOM = 0.7;

/** An element that can be sent to another output; TypeScript's library does not have it for all elements yet. */
type SinkElement = HTMLAudioElement & { setSinkId?: (id: string) => Promise<void> };

export interface Output {
  id: string;
  label: string;
}

export class RehearsalSound {
  state = $state<'off' | 'starting' | 'ready' | 'failed'>('off');
  /** What the person has to know about the sound, or ''. */
  sentence = $state('');
  /** Outputs to choose from for the headphones; null: not asked for yet. */
  outputs = $state.raw<readonly Output[] | null>(null);
  /** The output that the headphones are at; null: none. */
  phonesAt = $state<string | null>(null);
  readonly latency = new LatencyMeter();
  /** This browser can send sound to a second output. */
  readonly canSplit = typeof HTMLMediaElement !== 'undefined' && 'setSinkId' in HTMLMediaElement.prototype;

  #context: AudioContext | null = null;
  #player: AudioWorkletNode | null = null;
  #phones: SinkElement | null = null;
  #desk: DeskState = STILL_DESK;
  #closed = false;
  readonly #early: { order: SoundOrder; transfer: Transferable[] }[] = [];

  /** Hz; 0 before the engine is there. */
  get sampleRate(): number {
    return this.#context?.sampleRate ?? 0;
  }

  /**
   * s on the engine's clock: the frame that is rendered next. It stands until the first press wakes it. Without an
   * engine the page's clock takes its place.
   */
  get now(): number {
    if (this.state === 'failed') return performance.now() / 1000;
    return this.#context?.currentTime ?? 0;
  }

  async start(): Promise<void> {
    if (this.state !== 'off') return;
    this.state = 'starting';
    try {
      const context = new AudioContext({ latencyHint: 'interactive' });
      this.#context = context;
      await context.audioWorklet.addModule(workletUrl);
      if (this.#closed) return;
      const player = new AudioWorkletNode(context, PLAYER, {
        ...PLAYER_OUTPUTS,
        processorOptions: { orders: [{ kind: 'desk', desk: this.#scaled() }] },
      });
      player.connect(context.destination, 0);
      player.port.onmessage = ({ data }: MessageEvent<PlayerReport>) =>
        this.latency.arrived(data.id, data.frame / context.sampleRate, outputDelay(context));
      this.#player = player;
      for (const { order, transfer } of this.#early.splice(0)) player.port.postMessage(order, transfer);
      this.state = 'ready';
    } catch {
      this.state = 'failed';
      this.sentence = words.noSound;
    }
  }

  /** Lets the sound begin; call it from a press, without which a browser keeps it back. */
  wake(): void {
    if (this.#context?.state === 'suspended') void this.#context.resume();
  }

  /** What is sent before the player is there waits for it. */
  send(order: SoundOrder, transfer: Transferable[] = []): void {
    if (this.#player) this.#player.port.postMessage(order, transfer);
    else if (this.state === 'off' || this.state === 'starting') this.#early.push({ order, transfer });
  }

  /** Hands a track over to the player; the samples are gone here afterwards. */
  giveTrack(deck: number, pcm: TrackPcm | null): void {
    const buffers = pcm ? pcm.channels.map(({ buffer }) => buffer) : [];
    this.send({ kind: 'track', deck, pcm: pcm && pcm.channels }, buffers);
  }

  setDesk(desk: DeskState): void {
    this.#desk = desk;
    this.send({ kind: 'desk', desk: this.#scaled() });
  }

  /** s that the engine and the hardware add, as the browser tells it */
  get delays(): { base: number; output: number } | null {
    const context = this.#context;
    return context && { base: context.baseLatency, output: context.outputLatency || 0 };
  }

  /** Time of the engine at which what the page's clock calls `time` (ms) is heard, or null. */
  heardAt(time: number): number | null {
    const stamp = this.#context?.getOutputTimestamp?.();
    if (!stamp?.performanceTime || stamp.contextTime === undefined) return null;
    return stamp.contextTime + (time - stamp.performanceTime) / 1000;
  }

  /** A short click at `time` on the engine's clock, for the calibration. */
  click(time: number, level: number): void {
    const context = this.#context;
    if (!context) return;
    const tone = new OscillatorNode(context, { frequency: 1000 });
    const gain = new GainNode(context, { gain: 0 });
    tone.connect(gain).connect(context.destination);
    gain.gain.setValueAtTime(level * HEADROOM, time);
    gain.gain.exponentialRampToValueAtTime(1e-4, time + 0.04);
    tone.start(time);
    tone.stop(time + 0.05);
  }

  /** Asks for the names of all outputs. A browser tells them only to a page that may hear the microphone. */
  async findOutputs(): Promise<void> {
    try {
      const media = await navigator.mediaDevices.getUserMedia({ audio: true });
      media.getTracks().forEach((track) => track.stop());
      const all = await navigator.mediaDevices.enumerateDevices();
      const outs = all.filter(({ kind, deviceId }) => kind === 'audiooutput' && deviceId !== '');
      this.outputs = outs.map(({ deviceId, label }, i) => ({
        id: deviceId,
        label: label || words.phones.unnamed(i + 1),
      }));
    } catch {
      this.sentence = words.phones.refused;
    }
  }

  /** Sends the headphones' sound to that output; null: to none. */
  async usePhones(id: string | null): Promise<void> {
    const [context, player] = [this.#context, this.#player];
    if (!context || !player) return;
    try {
      if (id === null) this.#phones?.pause();
      else {
        if (!this.#phones) {
          const out = new MediaStreamAudioDestinationNode(context);
          player.connect(out, 1);
          this.#phones = new Audio() as SinkElement;
          this.#phones.srcObject = out.stream;
        }
        await this.#phones.setSinkId?.(id);
        await this.#phones.play();
      }
      this.phonesAt = id;
      this.sentence = '';
    } catch {
      this.phonesAt = null;
      this.sentence = words.phones.failed;
    }
  }

  dispose(): void {
    this.#closed = true;
    this.#phones?.pause();
    this.#player?.disconnect();
    void this.#context?.close();
    this.#context = null;
    this.#player = null;
  }

  #scaled(): DeskState {
    return {
      ...this.#desk,
      volume: this.#desk.volume * HEADROOM,
      phones: this.#desk.phones * HEADROOM,
    };
  }
}

/** s from the frame that is rendered next to the moment it is heard. */
function outputDelay(context: AudioContext): number {
  const { contextTime = 0, performanceTime = 0 } = context.getOutputTimestamp?.() ?? {};
  if (performanceTime <= 0) return context.baseLatency + (context.outputLatency || 0);
  const heard = contextTime + (performance.now() - performanceTime) / 1000;
  return Math.max(0, context.currentTime - heard);
}
