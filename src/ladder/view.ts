/**
 * The shared time axis: which stretch of the track the ladder shows. Pure functions over `{ start, span }`
 * in seconds; the width in pixels comes in only where seconds become pixels.
 */

export interface AxisView {
  /** Time at the left edge, s. */
  start: number;
  /** Seconds from the left to the right edge. */
  span: number;
}

/** The closest look, s: about two beats of fast music. */
export const MIN_SPAN = 0.75;
/** Factor of one zoom step by key or button. */
export const ZOOM_STEP = 1.5;
/** Share of the view that one scroll step by key moves. */
export const PAN_STEP = 0.25;

/** The whole track. */
export function wholeTrack(duration: number): AxisView {
  return { start: 0, span: Math.max(duration, MIN_SPAN) };
}

/** Keeps a view inside the track: never wider than it, never past its ends. */
export function clampView(view: AxisView, duration: number): AxisView {
  const longest = Math.max(duration, MIN_SPAN);
  const span = Math.min(Math.max(view.span, Math.min(MIN_SPAN, longest)), longest);
  const start = Math.min(Math.max(0, view.start), Math.max(0, longest - span));
  return { start, span };
}

/** Zooms by `factor` (>1: closer) so that `anchor` (s) stays where it is on the screen. */
export function zoomAround(view: AxisView, factor: number, anchor: number, duration: number): AxisView {
  const { span } = clampView({ start: 0, span: view.span / factor }, duration);
  const share = (anchor - view.start) / view.span;
  return clampView({ start: anchor - share * span, span }, duration);
}

/** Moves the view by `seconds`. */
export function pan(view: AxisView, seconds: number, duration: number): AxisView {
  return clampView({ start: view.start + seconds, span: view.span }, duration);
}

/** The view with `time` in its middle, as far as the track's ends allow. */
export function centredOn(view: AxisView, time: number, duration: number): AxisView {
  return clampView({ start: time - view.span / 2, span: view.span }, duration);
}

/** Brings `time` into view with a margin of a tenth, moving only when it has to. */
export function reveal(view: AxisView, time: number, duration: number): AxisView {
  const margin = view.span / 10;
  if (time >= view.start + margin && time <= view.start + view.span - margin) return view;
  return centredOn(view, time, duration);
}

/** The deck's zoom stop (index into `zoomSeconds`) that comes closest to the span shown, by ratio. */
export function nearestZoomStop(zoomSeconds: readonly number[], span: number): number {
  let best = 0;
  zoomSeconds.forEach((seconds, i) => {
    const here = Math.abs(Math.log(seconds / span));
    if (here < Math.abs(Math.log(zoomSeconds[best] / span))) best = i;
  });
  return best;
}

/**
 * The stretch that the deck itself would show around `time` when its playhead stands in the middle of its
 * screen.
 */
export function deckWindow(time: number, seconds: number): AxisView {
  return { start: time - seconds / 2, span: seconds };
}

/** `m:ss` or, with `digits`, `m:ss.d…`; hours only when there are some. */
export function clock(seconds: number, digits = 0): string {
  const unit = 10 ** digits;
  const whole = Math.floor(Math.max(0, seconds) * unit + 1e-6);
  const s = Math.floor(whole / unit);
  const rest = digits ? '.' + String(whole % unit).padStart(digits, '0') : '';
  const hours = Math.floor(s / 3600);
  const minutes = Math.floor((s % 3600) / 60);
  const pad = (n: number) => String(n).padStart(2, '0');
  return (hours ? `${hours}:${pad(minutes)}` : String(minutes)) + `:${pad(s % 60)}` + rest;
}

/** A place in the track to the millisecond. */
export const place = (time: number): string => clock(time, 3);
