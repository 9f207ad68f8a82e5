/** One row of the help page's list of keys. */
export interface KeyRow {
  /** As the person reads it. */
  keys: string;
  does: string;
  /**
   * The presses that it tells of, each as modifiers and `KeyboardEvent.key`: `c`, `Shift+t`, `Ctrl+z`. A test holds
   * them against what the key handlers answer to. Left out where keys belong to a control that has the focus.
   */
  presses?: readonly string[];
}
