/** The sound of a click on a beat: a sine that dies away. */

/** Hz and s. */
const BEAT_HZ = 1200;
const DOWNBEAT_HZ = 1800;
const CLICK_SECONDS = 0.05;
const DECAY_SECONDS = 0.008;

export interface ClickSounds {
  beat: AudioBuffer;
  downbeat: AudioBuffer;
}

export const clickSounds = (engine: BaseAudioContext): ClickSounds => ({
  beat: click(engine, BEAT_HZ),
  downbeat: click(engine, DOWNBEAT_HZ),
});

/** Full at its first sample but for a turn of the sine, so that the beat is heard where it is. */
function click({ sampleRate }: BaseAudioContext, hz: number): AudioBuffer {
  const length = Math.round(CLICK_SECONDS * sampleRate);
  const buffer = new AudioBuffer({ length, sampleRate });
  const samples = buffer.getChannelData(0);
  for (let i = 0; i < length; i++) {
    const t = i / sampleRate;
    const end = 1 - i / length;
    samples[i] = Math.sin(2 * Math.PI * hz * t) * Math.exp(-t / DECAY_SECONDS) * end;
  }
  return buffer;
}
