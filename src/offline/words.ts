/** What is said about new versions and files that the system hands over. */
export const words = {
  ready: 'A new version of Boothproof is ready. It begins by itself at the next start, or now if you like.',
  start: 'Begin it now',
  later: 'At the next start',
  starting: 'Saving, then beginning the new version…',
  notSaved:
    'Not everything could be saved just now, so this version stays open. Free some room, or save a backup, and try again.',
  nothingKept:
    'This browser keeps nothing here: a new start would lose your work. Save what you need first, then close the window.',
  others:
    'Boothproof is open in another window too. Close that one first, so that nothing changes under it, then try again.',
  reading: 'Files are still being read. Begin the new version when they are done, or stop them.',
  taking: 'The files to take along are still being written. Begin the new version when they are done.',
  editing: 'A deck is being edited. Save or leave it first.',
  unreadable: (name: string, why: string) =>
    `“${name}” was handed over but cannot be read: ${why} Choose it with “Choose files…” instead.`,
} as const;
