import { OfflineAudioContext } from 'node-web-audio-api';
import { beforeAll, describe, expect, test } from 'vitest';
import { renderPattern } from '../../demo/pattern.ts';
import { compareTempo, TEMPO_TOLERANCE } from '../../shared/second-opinion.ts';
import {
  asRecord,
  declaredRate,
  type Detector,
  type Guess,
  secondOpinion,
  type SecondOpinionTools,
} from '../../src/library/second-opinion.ts';
import { createPreviewStage, type Preview } from '../../workers/stages/preview.ts';

describe('comparing tempi', () => {
  test('agrees within the tolerance and not beyond it', () => {
    expect(compareTempo(124, 124.4).verdict).toBe('agrees');
    expect(compareTempo(124, 124 * (1 + TEMPO_TOLERANCE * 0.99)).verdict).toBe('agrees');
    expect(compareTempo(124, 124 * (1 + TEMPO_TOLERANCE * 1.01)).verdict).toBe('differs');
    expect(compareTempo(124, 129).verdict).toBe('differs');
  });

  test('half, double and their doubles are the octave', () => {
    expect(compareTempo(174, 87.1)).toEqual({
      verdict: 'octave',
      sentence: 'The second tempo detector hears the same pulse at half the tempo: 87.1 bpm.',
    });
    expect(compareTempo(87, 174).sentence).toContain('twice the tempo: 174 bpm');
    expect(compareTempo(44, 176).verdict).toBe('octave');
    expect(compareTempo(176, 44).verdict).toBe('octave');
    expect(compareTempo(100, 210).verdict).toBe('differs');
  });

  test('a difference names both tempi, and the ratio when it explains it', () => {
    expect(compareTempo(120, 180.3).sentence).toBe(
      'The second tempo detector hears 180.3 bpm instead of 120 (three beats to two of ours): check the grid by ear.',
    );
    expect(compareTempo(120, 97.456).sentence).toBe(
      'The second tempo detector hears 97.46 bpm instead of 120: check the grid by ear.',
    );
  });

  test('nothing to compare with, on one side or both', () => {
    expect(compareTempo(124, null).verdict).toBe('none');
    expect(compareTempo(null, null).verdict).toBe('none');
    expect(compareTempo(null, 124).verdict).toBe('differs');
    expect(compareTempo(124, NaN).verdict).toBe('none');
    expect(compareTempo(0, 124).verdict).toBe('differs');
    const sentences = [compareTempo(124, null), compareTempo(null, null), compareTempo(null, 124)];
    expect(new Set(sentences.map((c) => c.sentence)).size).toBe(3);
  });
});

/**
 * The detector as it ships, without the page around it: the package holds its worker as source text, and its
 * page side low-passes the audio by a biquad at 240 Hz before it posts it there.
 */
let detector: Detector;
let ended = 0;

beforeAll(async () => {
  const { worker } =
    (await import('../../node_modules/web-audio-beat-detector/build/es2019/worker/worker.js')) as {
      worker: string;
    };
  let deliver: (event: { data: unknown }) => void = () => {};
  let answer: (message: { result?: Guess; error?: { message: string } }) => void = () => {};
  const self = {
    addEventListener: (_type: string, listener: typeof deliver) => (deliver = listener),
    postMessage: (message: Parameters<typeof answer>[0]) => answer(message),
  };
  new Function('self', worker)(self);
  detector = {
    async guess(buffer, tempoSettings) {
      const context = new OfflineAudioContext(1, buffer.length, buffer.sampleRate);
      const lowPass = context.createBiquadFilter();
      lowPass.type = 'lowpass';
      lowPass.frequency.value = 240;
      const source = context.createBufferSource();
      const copy = context.createBuffer(1, buffer.length, buffer.sampleRate);
      copy.copyToChannel(buffer.getChannelData(0), 0);
      source.buffer = copy;
      source.connect(lowPass).connect(context.destination);
      source.start();
      const channelData = (await context.startRendering()).getChannelData(0);
      return new Promise<Guess>((resolve, reject) => {
        answer = ({ result, error }) => (result ? resolve(result) : reject(new Error(error?.message)));
        const params = { channelData, sampleRate: buffer.sampleRate, tempoSettings };
        deliver({ data: { id: 1, method: 'guess', params } });
      });
    },
    end: () => void ended++,
  };
});

const tools = (): SecondOpinionTools => ({
  createBuffer: (samples, sampleRate) =>
    ({ length: samples.length, sampleRate, getChannelData: () => samples }) as unknown as AudioBuffer,
  loadDetector: async () => detector,
});

function previewOf(options: Parameters<typeof renderPattern>[0], gain = 1): Preview {
  const { left, right, sampleRate } = renderPattern(options);
  const stage = createPreviewStage({ sampleRate, channels: 2 });
  const step = 4096;
  for (let at = 0; at < left.length; at += step) {
    stage.push([left, right].map((channel) => channel.slice(at, at + step).map((sample) => sample * gain)));
  }
  return stage.finish();
}

describe('the second detector', () => {
  test('hears nothing at a rate that 4 does not divide, which is why another one is declared', async () => {
    const { samples, sampleRate } = previewOf({ style: 'house', bpm: 124, seconds: 10, seed: 5 });
    expect(sampleRate).toBe(11025);
    const loud = samples.map((sample) => sample * 4);
    const buffer = (rate: number) => tools().createBuffer(loud, rate);
    const range = { minTempo: 70, maxTempo: 180 };
    await expect(detector.guess(buffer(11025), range)).rejects.toThrow('detectable beats');
    expect((await detector.guess(buffer(declaredRate(11025)), range)).bpm).toBe(124);
  });

  test('the declared rate is the nearest that 4 divides', () => {
    expect([11025, 12000, 8000, 22050, 11026].map(declaredRate)).toEqual([11024, 12000, 8000, 22052, 11028]);
  });

  for (const bpm of [118, 124, 127.37, 132.5, 140]) {
    test(`agrees with the truth of a house pattern at ${bpm}`, async () => {
      const preview = previewOf({ style: 'house', bpm, seconds: 60, seed: 11, startOffset: 0.37 });
      const answer = await secondOpinion(preview, tools());
      expect(compareTempo(bpm, answer!.bpm).verdict).toBe('agrees');
    });
  }

  test('tells the time of a beat from the start of the track, not of the preview', async () => {
    const preview = previewOf({ style: 'house', bpm: 120, seconds: 60, seed: 3 });
    const here = await secondOpinion(preview, tools());
    const later = await secondOpinion({ ...preview, startTime: preview.startTime + 90 }, tools());
    expect(later!.offset - here!.offset).toBeCloseTo(90, 9);
    expect(later!.bpm).toBe(here!.bpm);
  });

  test('gives a quiet track the same answer as a loud one', async () => {
    const options = { style: 'house', bpm: 126, seconds: 40, seed: 9 } as const;
    const loud = await secondOpinion(previewOf(options), tools());
    const quiet = await secondOpinion(previewOf(options, 0.01), tools());
    expect(quiet!.bpm).toBeCloseTo(loud!.bpm, 6);
  });

  test('leaves no thread behind, whether it hears a beat or not', async () => {
    const before = ended;
    const house = previewOf({ style: 'house', bpm: 124, seconds: 10, seed: 5 });
    expect(await secondOpinion(house, tools())).not.toBeNull();
    expect(ended - before).toBe(1);
    const click = { ...house, samples: house.samples.map((_, i) => (i < 40 ? 1 : 0)) };
    expect(await secondOpinion(click, tools())).toBeNull();
    expect(ended - before).toBe(2);
  });

  test('silence, no beat, and a detector that cannot run are no answer', async () => {
    const silence = { samples: new Float32Array(11025), sampleRate: 11025, startTime: 0 };
    let asked = 0;
    const counting: SecondOpinionTools = {
      ...tools(),
      loadDetector: async () => {
        asked++;
        throw new Error('offline');
      },
    };
    expect(await secondOpinion(silence, counting)).toBeNull();
    expect(asked).toBe(0);
    const tone = { ...silence, samples: silence.samples.map((_, i) => Math.sin(i / 50)) };
    expect(await secondOpinion(tone, counting)).toBeNull();
    expect(asked).toBe(1);
    const click = { ...silence, samples: silence.samples.map((_, i) => (i < 40 ? 1 : 0)) };
    expect(await secondOpinion(click, tools())).toBeNull();
    expect(asRecord(null)).toEqual({ bpm: null, offset: null });
  });
});
