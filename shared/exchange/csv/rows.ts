/** Records of a comma-separated text. RFC 4180 section 2; a line may also end in LF or CR alone. */

export interface Row {
  /** Number of the line on which it begins, counted from 1. */
  line: number;
  fields: string[];
}

export interface RowFault {
  line: number;
  sentence: string;
}

/** All records that are not empty lines, or the first fault. */
export function rowsOf(text: string, separator: string): Row[] | RowFault {
  const rows: Row[] = [];
  let line = 1;
  let at = 0;
  while (at < text.length) {
    const row: Row = { line, fields: [] };
    for (;;) {
      if (text[at] === '"') {
        const end = closingQuote(text, at);
        if (end < 0) return { line, sentence: 'a double quote is not closed; add the closing one' };
        const quoted = text.slice(at + 1, end);
        line += quoted.split(/\r\n|\n|\r/).length - 1;
        row.fields.push(quoted.replaceAll('""', '"'));
        at = end + 1;
        if (at < text.length && text[at] !== separator && text[at] !== '\r' && text[at] !== '\n') {
          return {
            line,
            sentence:
              'something follows a closing double quote; double the quotes inside a field, or add a comma',
          };
        }
      } else {
        let end = at;
        while (end < text.length && text[end] !== separator && text[end] !== '\r' && text[end] !== '\n')
          end++;
        const bare = text.slice(at, end);
        if (bare.includes('"')) {
          return {
            line,
            sentence: 'a double quote stands inside a field without quotes; quote the whole field',
          };
        }
        row.fields.push(bare);
        at = end;
      }
      if (text[at] !== separator) break;
      at++;
    }
    if (text[at] === '\r' && text[at + 1] === '\n') at++;
    at++;
    line++;
    if (row.fields.length > 1 || row.fields[0] !== '') rows.push(row);
  }
  return rows;
}

/** Index of the quote that closes the one at `start`, or −1. */
function closingQuote(text: string, start: number): number {
  for (let at = start + 1; ; at += 2) {
    at = text.indexOf('"', at);
    if (at < 0 || text[at + 1] !== '"') return at;
  }
}
