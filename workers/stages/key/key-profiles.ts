/**
 * How much each pitch class belongs to a key, from the tonic upwards: the profiles of D. Temperley, "What's Key for
 * Key? The Krumhansl-Schmuckler Key-Finding Algorithm Reconsidered", Music Perception 17 (1999); figures from
 * memory. That article has the raised seventh of the harmonic minor; club music keeps to the natural one (common
 * practice, no source), so the two sevenths of the minor profile are exchanged here.
 */
export const MAJOR_PROFILE = [5, 2, 3.5, 2, 4.5, 4, 2, 4.5, 2, 3.5, 1.5, 4];
export const MINOR_PROFILE = [5, 2, 3.5, 4.5, 2, 4, 2, 4.5, 3.5, 2, 4, 1.5];
