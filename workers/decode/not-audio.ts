/** What a file that is not audio, or audio of a codec that is not decoded here, seems to be. */
import { fourCc, textAt } from './bytes.ts';

const DOCUMENT_START = /^\s*(<!doctype html|<html|<\?xml|<svg|\{|\[)/i;

/** Kinds of file by their first bytes, with what a person calls them. Signatures: each format's own specification. */
const KINDS: [offset: number, magic: string, what: string][] = [
  [0, '\xff\xd8\xff', 'a picture (JPEG)'],
  [0, '\x89PNG', 'a picture (PNG)'],
  [0, 'GIF8', 'a picture (GIF)'],
  [0, 'PK\x03\x04', 'a ZIP archive'],
  [0, 'Rar!', 'a RAR archive'],
  [0, '7z\xbc\xaf', 'a 7-Zip archive'],
  [0, '\x1f\x8b', 'a GZIP archive'],
  [0, '%PDF', 'a PDF document'],
  [0, 'MThd', 'a MIDI file, which holds notes and no sound'],
];

/** Audio that is recognised but not decoded, by first bytes. */
const CODECS: [offset: number, magic: string, codec: string][] = [
  [0, '\x30\x26\xb2\x75\x8e\x66\xcf\x11', 'Windows Media Audio (WMA)'],
  [0, 'DSD ', 'DSD'],
  [0, 'FRM8', 'DSD'],
  [0, 'MAC ', 'Monkey’s Audio (APE)'],
  [0, 'wvpk', 'WavPack'],
  [0, 'MPCK', 'Musepack'],
  [0, 'MP+', 'Musepack'],
  [0, 'TTA1', 'True Audio'],
  [0, '\x0b\x77', 'AC-3'],
  [0, '\x7f\xfe\x80\x01', 'DTS'],
  [0, '#!AMR', 'AMR'],
  [0, '.snd', 'Sun audio (AU)'],
  [0, 'caff', 'a CAF container'],
  [0, '\x1a\x45\xdf\xa3', 'a Matroska or WebM container'],
  [0, 'FLV\x01', 'Flash video'],
];

/** Name of the codec if these bytes start a file of audio that cannot be decoded here. */
export function foreignCodec(head: Uint8Array): string | null {
  for (const [offset, magic, codec] of CODECS) if (textAt(head, offset, magic)) return codec;
  return textAt(head, 0, 'RIFF') && fourCc(head, 8) === 'AVI ' ? 'video (AVI)' : null;
}

/** Share of printable characters above which bytes are text. */
const MOSTLY = 0.97;
const TEXT_SAMPLE = 2048;

/** What the file is in words (with the article), or null when nothing is recognised. */
export function kindOf(head: Uint8Array): string | null {
  for (const [offset, magic, what] of KINDS) if (textAt(head, offset, magic)) return what;
  if (textAt(head, 0, 'RIFF') && fourCc(head, 8) === 'WEBP') return 'a picture (WebP)';
  const sample = head.subarray(0, TEXT_SAMPLE);
  if (sample.length === 0) return null;
  const text = new TextDecoder('utf-8').decode(sample);
  if (DOCUMENT_START.test(text)) return /^\s*[{[]/.test(text) ? 'a text file' : 'a web page';
  let printable = 0;
  for (const byte of sample) if (byte === 9 || byte === 10 || byte === 13 || byte >= 32) printable++;
  const replaced = text.split('\ufffd').length - 1;
  return printable / sample.length >= MOSTLY && replaced <= 2 ? 'a text file' : null;
}
