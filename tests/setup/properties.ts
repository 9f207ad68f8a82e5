/**
 * Property tests draw the same cases everywhere, so that a run can be repeated and a landing does not hang on
 * luck. `PROPERTY_SEED=$RANDOM npm run unit` looks for new ones.
 */
import fc from 'fast-check';

const SEED = 20_261_125;

fc.configureGlobal({ seed: Number(process.env.PROPERTY_SEED ?? SEED) });
