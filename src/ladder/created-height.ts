/**
 * CSS pixels that every view of wavesurfer.js is created with. It writes that number into a style sheet, which the
 * page's policy knows by its hash: one height, one hash. The true height is set before anything is drawn.
 */
export const CREATED_HEIGHT = 1;
