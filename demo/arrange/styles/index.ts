import type { Style } from '../style.ts';
import { breakbeat } from './breakbeat.ts';
import { disco } from './disco.ts';
import { garage } from './garage.ts';
import { house } from './house.ts';
import { techno } from './techno.ts';

/** The styles that a track of the scenario can be in. */
export const STYLES = { house, techno, garage, breakbeat, disco } satisfies Record<string, Style>;
export type StyleName = keyof typeof STYLES;
