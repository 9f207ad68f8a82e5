/** Findings while they are gathered: one for each key and group, told of the worst deck, with all decks named. */
import type { DeckProfile } from '../../profile/schema.ts';
import type { SetEntry } from '../types.ts';
import {
  type Finding,
  type FindingDetail,
  type FindingKey,
  type GigRemedy,
  MOST_FOR_NUMBER,
} from './finding.ts';
import { severityOf } from './finding.ts';

interface Report {
  key: FindingKey;
  /** Findings of one key and one group are one: an entry's id, or '' for the whole set. */
  group: string;
  weight: number;
  profile: DeckProfile | null;
  detail: FindingDetail;
  remedies?: GigRemedy[];
}

interface Gathered {
  key: FindingKey;
  group: string;
  weight: number;
  profileIds: Set<string>;
  details: Map<string, FindingDetail>;
  remedies: GigRemedy[];
}

export class Gathering {
  private readonly byKey = new Map<string, Gathered>();

  /** Decks must report poorest first: of what is reported twice, the first stands. */
  report({ key, group, weight, profile, detail, remedies = [] }: Report): void {
    const id = `${key}:${group}`;
    let known = this.byKey.get(id);
    if (!known) {
      known = { key, group, weight, profileIds: new Set(), details: new Map(), remedies };
      this.byKey.set(id, known);
    }
    known.weight = Math.max(known.weight, weight);
    if (profile) known.profileIds.add(profile.id);
    const { entryId, markerId, time, name } = detail;
    const move = detail.move ? JSON.stringify(detail.move) : '';
    const place = `${entryId} ${markerId ?? ''} ${time ?? ''} ${name} ${move}`;
    if (!known.details.has(place)) known.details.set(place, detail);
  }

  /** Sorted by weight; of equal ones those on more decks, then in the order of the set. */
  findings(entryOrder: ReadonlyMap<string, number>): Finding[] {
    const place = (id: string) => entryOrder.get(id) ?? Infinity;
    const all = [...this.byKey].map(([id, { key, weight, profileIds, details, remedies }]): Finding => {
      const list = [...details.values()];
      const entryIds = [...new Set(list.map(({ entryId }) => entryId))]
        .filter((entryId) => entryId !== '')
        .sort((a, b) => place(a) - place(b));
      const most = weight + MOST_FOR_NUMBER * (1 - 1 / Math.max(1, entryIds.length));
      const total = Math.min(100, most);
      return {
        id,
        key,
        severity: severityOf(weight),
        weight: total,
        entryIds,
        profileIds: [...profileIds],
        params: { ...list[0].params, name: list[0].name, count: list.length, tracks: entryIds.length },
        details: list,
        remedies: remedies.length ? remedies : common(list),
      };
    });
    const first = ({ entryIds }: Finding) => place(entryIds[0] ?? '');
    return all.sort(
      (a, b) =>
        b.weight - a.weight ||
        b.profileIds.length - a.profileIds.length ||
        first(a) - first(b) ||
        (a.id < b.id ? -1 : 1),
    );
  }
}

/** What helps every one of them; where nothing does, a look at the first track. */
function common(details: readonly FindingDetail[]): GigRemedy[] {
  const [first, ...others] = details;
  const same = first.remedies.filter((remedy) => {
    const text = JSON.stringify(remedy);
    return others.every(({ remedies }) => remedies.some((other) => JSON.stringify(other) === text));
  });
  return same.length ? same : [{ action: 'open-track' }];
}

/** A detail that is about the whole track. */
export const aboutTrack = (entry: SetEntry, params: FindingDetail['params'] = {}): FindingDetail => ({
  entryId: entry.id,
  markerId: null,
  time: null,
  move: null,
  name: entry.title || entry.fileName,
  params,
  remedies: [],
});
