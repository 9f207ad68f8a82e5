/** Lets the browser save something as a file. */
export function download(content: Blob, fileName: string): void {
  const url = URL.createObjectURL(content);
  const link = document.createElement('a');
  link.href = url;
  link.download = fileName;
  link.click();
  // The download reads the blob after this task; a large one may wait for the person's word where to put it.
  setTimeout(() => URL.revokeObjectURL(url), 120_000);
}

/** A file name without what systems refuse in one. Never empty. */
export function safeFileName(name: string): string {
  const safe = name
    .normalize('NFC')
    // eslint-disable-next-line no-control-regex -- control characters are what is refused
    .replace(/[\u0000-\u001f\u007f<>:"/\\|?*]+/g, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[. ]+|[. ]+$/g, '')
    .slice(0, 120)
    .trim();
  return /^(con|prn|aux|nul|com\d|lpt\d)$/i.test(safe) || !safe ? `track ${safe}`.trim() : safe;
}
