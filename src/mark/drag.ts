/** Dragging one thing along the time axis, as an attachment: it follows the pointer and lands where it is let go. */

export interface DragOptions {
  /** Where the thing is now, CSS pixels from the lane's left edge. */
  from(): number;
  /** Called while dragging, with the place in CSS pixels. */
  onmove(x: number): void;
  /** Let go; not called for a press without travel. */
  ondrop(x: number): void;
  /** Taken back (Escape, or the system took the pointer). */
  oncancel(): void;
}

/** Travel below which a press is no drag, CSS pixels. */
const LEAST_TRAVEL = 3;

export function draggable(options: DragOptions) {
  return (element: HTMLElement) => {
    let drag: { pointer: number; grabbed: number; origin: number; travelled: boolean } | null = null;

    function onDown(event: PointerEvent) {
      if (event.button !== 0 || drag) return;
      // The lane below would pan.
      event.stopPropagation();
      element.setPointerCapture(event.pointerId);
      drag = {
        pointer: event.pointerId,
        grabbed: event.clientX,
        origin: options.from(),
        travelled: false,
      };
    }
    function onMove(event: PointerEvent) {
      if (event.pointerId !== drag?.pointer) return;
      event.stopPropagation();
      const travel = event.clientX - drag.grabbed;
      if (Math.abs(travel) >= LEAST_TRAVEL) drag.travelled = true;
      if (drag.travelled) options.onmove(drag.origin + travel);
    }
    function onUp(event: PointerEvent) {
      if (event.pointerId !== drag?.pointer) return;
      event.stopPropagation();
      const { origin, grabbed, travelled } = drag;
      drag = null;
      if (travelled && event.type === 'pointerup') options.ondrop(origin + event.clientX - grabbed);
      else options.oncancel();
    }
    function onKey(event: KeyboardEvent) {
      if (event.key !== 'Escape' || !drag) return;
      drag = null;
      options.oncancel();
    }

    element.addEventListener('pointerdown', onDown);
    element.addEventListener('pointermove', onMove);
    element.addEventListener('pointerup', onUp);
    element.addEventListener('pointercancel', onUp);
    element.addEventListener('keydown', onKey);
    return () => {
      element.removeEventListener('pointerdown', onDown);
      element.removeEventListener('pointermove', onMove);
      element.removeEventListener('pointerup', onUp);
      element.removeEventListener('pointercancel', onUp);
      element.removeEventListener('keydown', onKey);
    };
  };
}
