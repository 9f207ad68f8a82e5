/** The shortest way to a goal, by a search over all presses: fewest presses first, among those the least time. */

export interface Problem<S, A> {
  start: S;
  /** What can be done in a state. */
  actions(state: S): A[];
  /** The state after it, or null where it spoils the goal. */
  act(state: S, action: A): S | null;
  done(state: S): boolean;
  /** Two states with one key have the same future. */
  key(state: S): string;
  cost(action: A, state: S): Cost;
  /** Presses after which the search gives up. */
  most: number;
}

export interface Cost {
  presses: number;
  /** s */
  seconds: number;
}

export interface Way<S, A> extends Cost {
  sequence: A[];
  end: S;
}

/** States after which a search gives up: far more than any drill has. */
const MOST_STATES = 60_000;

interface Node<S, A> extends Cost {
  state: S;
  /** Among equals the earlier one comes first, so that the same drill has the same answer. */
  born: number;
  back: Node<S, A> | null;
  action: A | null;
}

const before = (a: Cost, b: Cost): boolean =>
  a.presses < b.presses || (a.presses === b.presses && a.seconds < b.seconds);

/**
 * Breadth-first over presses, with waiting and letting go as steps that cost no press (E. W. Dijkstra 1959, "A note on
 * two problems in connexion with graphs", with the pair of presses and seconds as the length; citation from memory).
 * @returns null where the goal is out of reach within `most` presses
 */
export function shortest<S, A>(problem: Problem<S, A>): Way<S, A> | null {
  const heap = new Heap<Node<S, A>>((a, b) => before(a, b) || (!before(b, a) && a.born < b.born));
  let born = 0;
  const settled = new Set<string>();
  heap.push({ state: problem.start, presses: 0, seconds: 0, born, back: null, action: null });
  for (let node = heap.pop(); node; node = heap.pop()) {
    if (problem.done(node.state)) return wayTo(node);
    const key = problem.key(node.state);
    if (settled.has(key)) continue;
    settled.add(key);
    if (settled.size > MOST_STATES) return null;
    for (const action of problem.actions(node.state)) {
      const cost = problem.cost(action, node.state);
      const presses = node.presses + cost.presses;
      if (presses > problem.most) continue;
      const state = problem.act(node.state, action);
      if (state === null) continue;
      heap.push({ state, presses, seconds: node.seconds + cost.seconds, born: ++born, back: node, action });
    }
  }
  return null;
}

function wayTo<S, A>(end: Node<S, A>): Way<S, A> {
  const sequence: A[] = [];
  for (let n: Node<S, A> | null = end; n; n = n.back) if (n.action !== null) sequence.unshift(n.action);
  return { sequence, presses: end.presses, seconds: end.seconds, end: end.state };
}

/** Binary heap: the least item comes out first. */
class Heap<T> {
  private readonly items: T[] = [];

  constructor(private readonly less: (a: T, b: T) => boolean) {}

  push(item: T): void {
    const { items } = this;
    let i = items.push(item) - 1;
    while (i > 0 && this.less(items[i], items[(i - 1) >> 1])) {
      this.swap(i, (i - 1) >> 1);
      i = (i - 1) >> 1;
    }
  }

  pop(): T | undefined {
    const { items } = this;
    const top = items[0];
    const last = items.pop();
    if (items.length === 0 || last === undefined) return top;
    items[0] = last;
    for (let i = 0; ;) {
      let least = i;
      for (const child of [2 * i + 1, 2 * i + 2]) {
        if (child < items.length && this.less(items[child], items[least])) least = child;
      }
      if (least === i) return top;
      this.swap(i, least);
      i = least;
    }
  }

  private swap(a: number, b: number): void {
    [this.items[a], this.items[b]] = [this.items[b], this.items[a]];
  }
}
