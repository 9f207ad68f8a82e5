/**
 * The demo set: one invented DJ, two invented nights, five invented tracks. Data only; nothing in it is, or is
 * meant to sound like, a real person, place or record.
 */
import type { TrackSpec } from './arrange/spec.ts';
import { lantern } from './tracks/lantern-tariff.ts';
import { lattice } from './tracks/lattice-seventeen.ts';
import { upholstery } from './tracks/saturday-upholstery.ts';
import { buses } from './tracks/two-buses-late.ts';
import { undertow } from './tracks/undertow-arithmetic.ts';

export interface Night {
  venue: string;
  /** What the DJ has been told of the booth, in plain words */
  booth: string;
  date: string;
  start: string;
}

export interface Scenario {
  dj: string;
  story: string;
  nights: Night[];
  tracks: TrackSpec[];
}

export const SCENARIO: Scenario = {
  dj: 'Tove Quillback',
  story:
    'Tove Quillback plays two nights in one week. The tracks were chosen on a laptop; the booths were built ' +
    'fifteen years apart, and neither shows what the laptop showed.',
  nights: [
    {
      venue: 'Ropewalk Nine',
      booth: 'New decks with large touch screens, all linked.',
      date: '2026-03-12',
      start: '23:00',
    },
    {
      venue: 'Kettlewick Basement',
      booth: 'Old decks without a scrolling waveform; the second one has a tired jog wheel.',
      date: '2026-03-14',
      start: '01:30',
    },
  ],
  tracks: [lantern, lattice, buses, undertow, upholstery],
};
