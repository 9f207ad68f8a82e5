/** `npm run analyse -- [--json] FILE...`: analyses files on the terminal. */
import { analyseTrack } from '../analyse.ts';
import { fileSource } from '../decode/node-source.ts';
import { DecodeFault } from '../decode/types.ts';
import { reportText, trackReport } from './text.ts';

const HELP = `Usage: npm run analyse -- [--json] FILE...

Analyses audio files and prints title, artist, duration, sample rate, channels, tempo, first beat, beats and
downbeats, confidence, sections, key, loudness, peak and the time that the analysis took.

  --json   one JSON array on the standard output and nothing else there; a file that cannot be read is an entry
           with "file" and "error"
  --help   this text

A file that cannot be read is named on the standard error with the reason; the other files are still analysed and
the exit code is 1.`;

interface Arguments {
  json: boolean;
  help: boolean;
  files: string[];
  unknown: string[];
}

function readArguments(words: string[]): Arguments {
  const end = words.indexOf('--');
  const [before, after] = end < 0 ? [words, []] : [words.slice(0, end), words.slice(end + 1)];
  const options = before.filter((word) => word.startsWith('-') && word !== '-');
  return {
    json: options.includes('--json'),
    help: options.includes('--help') || options.includes('-h'),
    files: [...before.filter((word) => !options.includes(word)), ...after],
    unknown: options.filter((word) => !['--json', '--help', '-h'].includes(word)),
  };
}

async function analyseFile(path: string) {
  const began = performance.now();
  const source = await fileSource(path);
  try {
    const track = await analyseTrack(source);
    return trackReport(path, track, (performance.now() - began) / 1000);
  } finally {
    await source.close();
  }
}

/** @returns the exit code */
async function run(words: string[]): Promise<number> {
  const { json, help, files, unknown } = readArguments(words);
  if (help) {
    console.log(HELP);
    return 0;
  }
  if (unknown.length || !files.length) {
    console.error(unknown.length ? `There is no option ${unknown[0]}.\n\n${HELP}` : HELP);
    return 2;
  }
  const entries: object[] = [];
  let code = 0;
  for (const file of files) {
    try {
      const report = await analyseFile(file);
      if (json) entries.push(report);
      else console.log(`${reportText(report)}\n`);
    } catch (error) {
      code = 1;
      const sentence = sentenceOf(file, error);
      console.error(sentence);
      if (json) entries.push({ file, error: sentence });
    }
  }
  if (json) console.log(JSON.stringify(entries, null, 2));
  return code;
}

function sentenceOf(file: string, error: unknown): string {
  if (error instanceof DecodeFault) return error.message;
  return `“${file}” could not be analysed because of an error in Boothproof (${error instanceof Error ? error.message : String(error)}).`;
}

// Not process.exit: it would cut off what is still being written to a pipe.
process.exitCode = await run(process.argv.slice(2));
