/** Sentences for the person that belong to no single track. */
export interface Notice {
  id: number;
  sentence: string;
}

export class Notices {
  list = $state.raw<readonly Notice[]>([]);
  #count = 0;

  /** Shows a sentence; one that stands there already is not repeated. */
  readonly add = (sentence: string): void => {
    if (this.list.some((notice) => notice.sentence === sentence)) return;
    this.list = [...this.list, { id: ++this.#count, sentence }];
  };

  dismiss(id: number): void {
    this.list = this.list.filter((notice) => notice.id !== id);
  }
}
