/** Parts of the task, in its order. Choosing the track comes before them and is no press of the deck's. */
export const STEPS = ['find', 'start', 'hold', 'leave'] as const;
export type TaskStep = (typeof STEPS)[number];
