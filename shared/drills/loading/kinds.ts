/** Names of the drills of lists and files. */
export const LOADING_KINDS = ['loads-there', 'row-in-list', 'way-to-row'] as const;
export type LoadingKind = (typeof LOADING_KINDS)[number];

export const isLoadingDrill = (drill: string): drill is LoadingKind =>
  (LOADING_KINDS as readonly string[]).includes(drill);
