/** What goes wrong when words are longer than ours or run the other way: looked for on the page as it stands. */
import type { Page } from '@playwright/test';

/** Pixels that the page is wider than its window. */
export const overflow = (page: Page) =>
  page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);

/**
 * Makes all words on the page 40 % longer, as those of a German translation are, without a place to break, and lets
 * the page run from right to left. The app's own updates may bring short words back: call it for each state.
 */
export async function lengthen(page: Page): Promise<void> {
  await page.evaluate(() => {
    document.documentElement.dir = 'rtl';
    const LONGER = 0.4;
    const done = '\u2060';
    const longer = (text: string) =>
      text.includes(done)
        ? text
        : text.replace(/\p{L}{4,}/gu, (word) => word + 'ä'.repeat(Math.ceil(word.length * LONGER))) + done;
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const nodes: Text[] = [];
    while (walker.nextNode()) nodes.push(walker.currentNode as Text);
    for (const node of nodes) {
      if (!node.data.trim() || node.parentElement?.closest('script, style, svg')) continue;
      node.data = longer(node.data);
    }
  });
  // One frame for the layout, one for what is painted after it.
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
}

/** Takes back what `lengthen` did. */
export async function shorten(page: Page): Promise<void> {
  await page.evaluate(() => {
    document.documentElement.dir = 'ltr';
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const node = walker.currentNode as Text;
      if (node.data.includes('\u2060'))
        node.data = node.data.replace(/ä+(?=\P{L}|$)/gu, '').replace('\u2060', '');
    }
  });
}

/** Pictures along the time axis: what stands on them stands where its time is. */
const TIMED =
  '.lane, .ladder-strips, .overview, .anchors, .axis, .strip, .strip-box, svg, canvas, .bc, .funnel, .through';

/** Text that is cut without a way to read it, and text that lies over other text or a control. */
export async function broken(page: Page): Promise<string[]> {
  return page.evaluate((timed) => {
    const faults: string[] = [];
    const shown = (element: Element) => {
      const box = element.getBoundingClientRect();
      return (
        box.width > 1 &&
        box.height > 1 &&
        element.checkVisibility({ opacityProperty: true, visibilityProperty: true })
      );
    };
    /** Left to screen readers by being clipped to nothing, as the heads of tables are that stand as lists. */
    const forEars = (from: Element) => {
      for (let at: Element | null = from; at; at = at.parentElement)
        if (getComputedStyle(at).clipPath === 'inset(50%)') return true;
      return false;
    };
    const skip = (element: Element) =>
      Boolean(element.closest(timed)) ||
      Boolean(element.closest('.visually-hidden, .skip, option')) ||
      forEars(element);
    const name = (element: Element) =>
      `${element.tagName.toLowerCase()}.${[...element.classList].filter((c) => !c.startsWith('svelte-')).join('.')} “${(element.textContent ?? '').trim().slice(0, 40)}”`;

    /** The part of a box that its scrolling and cutting ancestors let through, or null. */
    const seen = (from: Element | null, box: DOMRect): DOMRect | null => {
      let { left, top, right, bottom } = box;
      for (let at = from; at && at !== document.body; at = at.parentElement) {
        const { overflowX, overflowY } = getComputedStyle(at);
        if (overflowX === 'visible' && overflowY === 'visible') continue;
        const outer = at.getBoundingClientRect();
        [left, right] = [Math.max(left, outer.left), Math.min(right, outer.right)];
        [top, bottom] = [Math.max(top, outer.top), Math.min(bottom, outer.bottom)];
      }
      return right - left > 1 && bottom - top > 1 ? new DOMRect(left, top, right - left, bottom - top) : null;
    };
    const pieces: { element: Element; box: DOMRect }[] = [];
    const add = (element: Element, whole: DOMRect, from: Element | null) => {
      const box = seen(from, whole);
      if (box) pieces.push({ element, box });
    };
    for (const element of document.body.querySelectorAll('*')) {
      if (skip(element) || !shown(element)) continue;
      const control = element.matches('input, select, textarea, button');
      if (control) add(element, element.getBoundingClientRect(), element.parentElement);
      for (const node of element.childNodes) {
        if (node.nodeType !== 3 || !node.nodeValue?.trim()) continue;
        const range = document.createRange();
        range.selectNodeContents(node);
        for (const box of range.getClientRects()) add(element, box, element);
        // Cut: by itself or by what it stands in.
        for (let at: Element | null = element; at && at !== document.body; at = at.parentElement) {
          const style = getComputedStyle(at);
          if (!['hidden', 'clip'].includes(style.overflowX)) continue;
          const outer = at.getBoundingClientRect();
          const box = range.getBoundingClientRect();
          if (box.left >= outer.left - 1 && box.right <= outer.right + 1) continue;
          const readable = style.textOverflow === 'ellipsis' && at.closest('[title], [aria-expanded]');
          if (!readable) faults.push(`cut: ${name(element)} in ${name(at)}`);
        }
      }
    }
    /** What floats over the page (a sticky bar, a card) covers what scrolls under it: that is what it is for. */
    const layer = (element: Element): Element | null => {
      for (let at: Element | null = element; at; at = at.parentElement) {
        if (['fixed', 'sticky'].includes(getComputedStyle(at).position)) return at;
      }
      return null;
    };
    const layers = new Map(pieces.map(({ element }) => [element, layer(element)]));
    const inner = 2;
    for (const [i, a] of pieces.entries()) {
      for (const b of pieces.slice(i + 1)) {
        if (a.element.contains(b.element) || b.element.contains(a.element)) continue;
        if (layers.get(a.element) !== layers.get(b.element)) continue;
        const width = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
        const height = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
        if (width > inner && height > inner)
          faults.push(`over one another: ${name(a.element)} and ${name(b.element)}`);
      }
    }
    return [...new Set(faults)];
  }, TIMED);
}

/** Elements, those in shadow trees as well, that would move by themselves: by a transition, an animation, a smooth scroll. */
export const moving = (page: Page) =>
  page.evaluate(() => {
    const found: string[] = [];
    const look = (root: Document | ShadowRoot) => {
      for (const element of root.querySelectorAll('*')) {
        const { transitionDuration, animationName, scrollBehavior } = getComputedStyle(element);
        const still =
          transitionDuration.split(', ').every((each) => parseFloat(each) === 0) &&
          animationName === 'none' &&
          scrollBehavior === 'auto';
        if (!still) found.push(`${element.tagName.toLowerCase()}.${element.className}`);
        if (element.shadowRoot) look(element.shadowRoot);
      }
    };
    look(document);
    return found.concat(document.getAnimations().map((each) => `animation ${each.playState}`));
  });
