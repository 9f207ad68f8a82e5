/** How many sides of paper a card in one column will take. */

/**
 * Blocks that are not cut are put on sides one after the other, as a printer does.
 * @param bottoms lower edges of the blocks in order, from the card's top; any unit
 * @param room height of a side in the same unit
 */
export function sidesOf(bottoms: readonly number[], room: number): number {
  let sides = 1;
  let start = 0;
  let last = 0;
  for (const bottom of bottoms) {
    if (bottom - start > room && last > start) {
      sides++;
      start = last;
    }
    // A block that is longer than a side is cut after all.
    while (bottom - start > room) {
      sides++;
      start += room;
    }
    last = bottom;
  }
  return sides;
}
