/** Harmony as a stream of chroma frames, and the key of the whole track from them. */
export { estimateKey } from './estimate.ts';
export { createHarmonyStage, type HarmonyFeatures } from './harmony.ts';
