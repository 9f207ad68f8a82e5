/** Views of wavesurfer.js as the page's policy lets them be. */
import WaveSurfer, { type WaveSurferOptions } from 'wavesurfer.js';
import { CREATED_HEIGHT } from './created-height.ts';

/** `WaveSurfer.create`, with `height` in CSS pixels. */
export function createSurfer(options: WaveSurferOptions & { height: number }): WaveSurfer {
  const surfer = WaveSurfer.create({ ...options, height: CREATED_HEIGHT });
  surfer.setOptions({ height: options.height });
  return surfer;
}
