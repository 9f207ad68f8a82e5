/** Every sentence that the library says, in one place and ready to translate. */

const UNITS = ['bytes', 'kB', 'MB', 'GB', 'TB'] as const;

/** `12 MB`: decimal units, two figures below ten. */
export function byteSize(bytes: number): string {
  let value = Math.max(0, bytes);
  let unit = 0;
  while (value >= 999.5 && unit < UNITS.length - 1) {
    value /= 1000;
    unit++;
  }
  const digits = unit > 0 && value < 9.95 ? 1 : 0;
  return `${value.toFixed(digits)} ${UNITS[unit]}`;
}

export const SENTENCES = {
  nothingKept:
    'This browser keeps nothing here, so there is nothing to back up or restore. Allow storage for this page.',
  newerDatabase:
    'This library was written by a newer Boothproof than this page. Reload the page to get the newer one; ' +
    'nothing was changed.',
  blocked:
    'Boothproof is open in another tab that holds the older library. Close the other tab and this one goes on ' +
    'by itself.',
  handedOver:
    'A newer Boothproof was opened in another tab and has taken over the library. Reload this page to go on here.',
  terminated: 'The browser closed the library, for instance because site data were cleared. Reload the page.',
  unavailable: (why: string) =>
    'This browser does not let Boothproof keep a library here (for instance in a private window), so tracks ' +
    `will be gone when the page is closed. The browser says: ${why}`,
  migrationFailed: (why: string) =>
    `The library could not be brought to the newer form; it is as it was. Please report this: ${why}`,
  notSaved: (what: string, why: string) =>
    `${what} could not be saved and will be gone when the page is closed. The browser says: ${why}`,
  noRoomForTrack: (name: string) =>
    `The browser has no room left to keep the analysis of “${name}”; it will be gone when the page is closed. ` +
    'Remove a few tracks or free space on the disk.',
  noRoomForAudio: (name: string, bytes: number, free: number | null) =>
    `There is no room to keep the audio of “${name}” (${byteSize(bytes)}` +
    (free === null ? '' : ` needed, ${byteSize(free)} to spare`) +
    '). Its picture stays; to play it after a reload, give the file again, or remove a few tracks first.',
  askKeepAudio: (bytes: number) =>
    `Keep the audio in this browser (${byteSize(bytes)}), so that it plays again after a reload? ` +
    'Without it the pictures stay, and the files are asked for again.',
  giveAgain: (name: string) => `Give the file “${name}” again to play it.`,
  otherContent: (name: string) =>
    `“${name}” has the name of a track in the library but other content, so it was added as a track of its own.`,
  demoUnreachable: (title: string) =>
    `The audio of the demo track “${title}” could not be fetched. Run “npm run demo” and reload.`,
  demoBroken: (title: string, why: string) =>
    `The demo track “${title}” could not be read (${why}). Run “npm run demo” and reload.`,
  joinedTabs: (name: string) =>
    `“${name}” was corrected in another tab at the same time. Both are kept and joined; undo leads back to either.`,
  settingUnreadable: (key: string) => `The stored setting “${key}” could not be read; its default is used.`,
  recordingsUnreadable: (count: number) =>
    count === 1
      ? 'One recording of a rehearsal could not be read. It is kept, also in a backup, but not shown; delete it in Rehearse.'
      : `${count} recordings of rehearsals could not be read. They are kept, also in a backup, but not shown; delete them in Rehearse.`,
  profileUnreadable: (id: string) =>
    `The stored profile “${id}” could not be read. It is kept, but not shown.`,
  profileNotOwn: (id: string) => `There is no own profile “${id}”.`,
} as const;
