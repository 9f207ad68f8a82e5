/** `npm run analyse -- [--json] [--tempo-around BPM] FILE...`: analyses files on the terminal. */
import { analyseTrack } from '../analyse.ts';
import { fileSource } from '../decode/node-source.ts';
import { DecodeFault } from '../decode/types.ts';
import { priorAround, type TempoPrior } from '../stages/grid/index.ts';
import { reportText, trackReport } from './text.ts';

const HELP = `Usage: npm run analyse -- [--json] [--tempo-around BPM] FILE...

Analyses audio files and prints title, artist, duration, sample rate, channels, tempo, first beat, beats and
downbeats, confidence, sections, key, loudness, peak and the time that the analysis took.

  --json   one JSON array on the standard output and nothing else there; a file that cannot be read is an entry
           with "file" and "error"
  --tempo-around BPM
           about what the tempo is, where you know it: half and double of it are then out (for instance 87 for what
           would be taken for 174)
  --help   this text

A file that cannot be read is named on the standard error with the reason; the other files are still analysed and
the exit code is 1.`;

interface Arguments {
  json: boolean;
  help: boolean;
  tempoPrior: TempoPrior | null;
  files: string[];
  /** What is wrong with the words, or null. */
  wrong: string | null;
}

function readArguments(words: string[]): Arguments {
  const read: Arguments = { json: false, help: false, tempoPrior: null, files: [], wrong: null };
  let options = true;
  for (let i = 0; i < words.length; i++) {
    const word = words[i];
    if (!options || !word.startsWith('-') || word === '-') read.files.push(word);
    else if (word === '--') options = false;
    else if (word === '--json') read.json = true;
    else if (word === '--help' || word === '-h') read.help = true;
    else if (word === '--tempo-around') {
      try {
        read.tempoPrior = priorAround(Number(words[++i]));
      } catch (error) {
        read.wrong ??= `--tempo-around needs a number. ${(error as Error).message}`;
      }
    } else read.wrong ??= `There is no option ${word}.`;
  }
  return read;
}

async function analyseFile(path: string, tempoPrior: TempoPrior | null) {
  const began = performance.now();
  const source = await fileSource(path);
  try {
    const track = await analyseTrack(source, tempoPrior ? { tempoPrior } : {});
    return trackReport(path, track, (performance.now() - began) / 1000);
  } finally {
    await source.close();
  }
}

/** @returns the exit code */
async function run(words: string[]): Promise<number> {
  const { json, help, tempoPrior, files, wrong } = readArguments(words);
  if (help) {
    console.log(HELP);
    return 0;
  }
  if (wrong || !files.length) {
    console.error(wrong ? `${wrong}\n\n${HELP}` : HELP);
    return 2;
  }
  const entries: object[] = [];
  let code = 0;
  for (const file of files) {
    try {
      const report = await analyseFile(file, tempoPrior);
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
