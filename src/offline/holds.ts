/** Work that a new start would break off: whoever does such work says so as long as it lasts. */

/** Why not now, or null. */
export type Hold = () => string | null;

const holds = new Set<Hold>();

/** Takes part in the question until the returned function is called. */
export function hold(why: Hold): () => void {
  holds.add(why);
  return () => holds.delete(why);
}

/** The first reason why the page must not start anew now, or null. */
export function held(): string | null {
  for (const why of holds) {
    const sentence = why();
    if (sentence) return sentence;
  }
  return null;
}
