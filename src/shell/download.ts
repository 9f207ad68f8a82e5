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
