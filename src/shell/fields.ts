/** Where keys are text and not commands. */

/** Fields into which is typed; sliders and boxes have keys of their own and let the others pass. */
const TYPED = 'input:not([type="range"], [type="checkbox"]), select, textarea, [contenteditable]';

export const isTyped = (event: KeyboardEvent): boolean =>
  event.target instanceof Element && event.target.closest(TYPED) !== null;
