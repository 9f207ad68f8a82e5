/**
 * Wheel, drag, pinch and tap on a strip, as an attachment: it turns pointer events into the few things that
 * the axis can do.
 */
import type { AxisState } from './ladder.svelte.ts';

/** Travel below which a press is a tap, CSS pixels. */
const TAP_TRAVEL = 5;
/** Zoom per wheel pixel: one notch of 100 px zooms by about a fifth. */
const WHEEL_ZOOM = 0.002;
const LINE_PIXELS = 16;

/** @param ontap called with a tap's place, CSS pixels from the left edge; true: it was meant for something there */
export function stripGestures(axis: AxisState, ontap: (x: number) => boolean = () => false) {
  return (element: HTMLElement) => {
    const pointers = new Map<number, { x: number; y: number }>();
    let travel = 0;
    let pinched = false;

    const xOf = (clientX: number) => clientX - element.getBoundingClientRect().left;

    function onWheel(event: WheelEvent) {
      const unit = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? LINE_PIXELS : 1;
      const sideways = event.shiftKey ? event.deltaY || event.deltaX : event.deltaX;
      if (Math.abs(sideways) > Math.abs(event.deltaY) || event.shiftKey) {
        event.preventDefault();
        axis.pan((sideways * unit) / axis.pixelsPerSecond);
        return;
      }
      // All of the track is in view: wheeling out goes on to scroll the page.
      if (event.deltaY > 0 && axis.view.span >= axis.duration) return;
      event.preventDefault();
      axis.zoom(Math.exp(-event.deltaY * unit * WHEEL_ZOOM), axis.timeAt(xOf(event.clientX)));
    }

    function onDown(event: PointerEvent) {
      if (event.button !== 0) return;
      if (pointers.size === 0) {
        travel = 0;
        pinched = false;
      }
      pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
      element.setPointerCapture(event.pointerId);
    }

    function onMove(event: PointerEvent) {
      const before = pointers.get(event.pointerId);
      if (!before) return;
      const now = { x: event.clientX, y: event.clientY };
      if (pointers.size === 1) {
        travel += Math.abs(now.x - before.x) + Math.abs(now.y - before.y);
        if (travel > TAP_TRAVEL) axis.pan((before.x - now.x) / axis.pixelsPerSecond);
      } else if (pointers.size === 2) {
        pinched = true;
        const other = [...pointers].find(([id]) => id !== event.pointerId)![1];
        const gap = (p: { x: number }) => Math.max(8, Math.abs(p.x - other.x));
        axis.zoom(gap(now) / gap(before), axis.timeAt(xOf((now.x + other.x) / 2)));
      }
      pointers.set(event.pointerId, now);
    }

    function onUp(event: PointerEvent) {
      if (!pointers.delete(event.pointerId)) return;
      const tap = event.type === 'pointerup' && pointers.size === 0 && !pinched && travel <= TAP_TRAVEL;
      if (!tap) return;
      const x = xOf(event.clientX);
      if (!ontap(x)) axis.seek(axis.timeAt(x));
    }

    element.addEventListener('wheel', onWheel, { passive: false });
    element.addEventListener('pointerdown', onDown);
    element.addEventListener('pointermove', onMove);
    element.addEventListener('pointerup', onUp);
    element.addEventListener('pointercancel', onUp);
    return () => {
      element.removeEventListener('wheel', onWheel);
      element.removeEventListener('pointerdown', onDown);
      element.removeEventListener('pointermove', onMove);
      element.removeEventListener('pointerup', onUp);
      element.removeEventListener('pointercancel', onUp);
    };
  };
}
