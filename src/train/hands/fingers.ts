/** Fingers and mouse buttons that are down on the controls: nothing may move under them until they are up again. */
import type { Attachment } from 'svelte/attachments';

/** Time after a pointer left in which its touch or click still comes, where no touch ends it, ms. */
const AFTER = 300;

/**
 * Watches an element. A press acts when the finger comes down and may end what is shown; if something else came to
 * stand under the finger then, lifting it would click that.
 * @param onchange whether any pointer that came down on the element is still down
 */
export const watchFingers =
  (onchange: (down: boolean) => void): Attachment<HTMLElement> =>
  (element) => {
    const down = new Set<number>();
    let timer = 0;
    const settle = () => {
      clearTimeout(timer);
      if (!down.size) onchange(false);
    };
    const watch = new AbortController();
    const listen = (target: EventTarget, types: string[], handle: (event: never) => void) => {
      for (const type of types) {
        target.addEventListener(type, handle as EventListener, { signal: watch.signal, passive: false });
      }
    };
    listen(element, ['pointerdown'], ({ pointerId }: PointerEvent) => {
      clearTimeout(timer);
      down.add(pointerId);
      onchange(true);
    });
    // What a tap makes after its touch (a focus, a click) is of no use here, and may come late.
    listen(element, ['touchend'], (event: TouchEvent) => {
      if (event.cancelable) event.preventDefault();
    });
    listen(window, ['pointerup', 'pointercancel'], ({ pointerId, pointerType }: PointerEvent) => {
      if (!down.delete(pointerId)) return;
      if (pointerType === 'mouse') settle();
      else timer = window.setTimeout(settle, AFTER);
    });
    listen(window, ['touchend', 'touchcancel'], settle);
    return () => {
      watch.abort();
      clearTimeout(timer);
      onchange(false);
    };
  };
