/** The player in the audio thread: a thin shell around the mixer. */
import { Mixer, type SoundOrder } from '../../workers/sound/mixer.ts';
import { PLAYER, type PlayerOptions, type PlayerReport } from './player.ts';

/** What an AudioWorkletGlobalScope has; TypeScript's library does not say. */
declare const sampleRate: number;
declare const currentFrame: number;
declare function registerProcessor(name: string, processor: new (options: never) => Processor): void;
declare class AudioWorkletProcessor {
  readonly port: MessagePort;
}
interface Processor {
  process(inputs: Float32Array[][], outputs: Float32Array[][]): boolean;
}

class Player extends AudioWorkletProcessor implements Processor {
  readonly #mixer = new Mixer(sampleRate);

  constructor({ processorOptions }: { processorOptions?: PlayerOptions }) {
    super();
    processorOptions?.orders.forEach((order) => this.#mixer.take(order));
    this.port.onmessage = ({ data }: MessageEvent<SoundOrder>) => {
      this.#mixer.take(data);
      if (data.kind !== 'move' || data.id === undefined) return;
      const report: PlayerReport = { id: data.id, frame: currentFrame };
      this.port.postMessage(report);
    };
  }

  process(_inputs: Float32Array[][], outputs: Float32Array[][]): boolean {
    const [room, phones] = outputs;
    this.#mixer.render([room[0], room[1]], [phones[0], phones[1]], currentFrame);
    return true;
  }
}

registerProcessor(PLAYER, Player);
