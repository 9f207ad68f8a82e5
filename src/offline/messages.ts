/** What page and service worker say to one another. */

/** How many windows of the app are open: answered with a number. */
export const COUNT_WINDOWS = 'count-windows';
/** The waiting version begins: the name is that of workbox-window. */
export const SKIP_WAITING = 'SKIP_WAITING';
