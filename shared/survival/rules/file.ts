/** The file itself does not load: then nothing that was marked on it is there. */
import type { SourceFormat } from '../../analysis.ts';
import { FILE_FORMATS, type FileFormat } from '../../profile/schema.ts';
import { lost, rule } from './rule.ts';

const ALL = ['cue', 'mark', 'loop'] as const;
const COPY = { action: 'make-copy' } as const;

/**
 * The format that profiles name, or null for one that none names (A-law, FLAC in Ogg, …). Uncompressed sound goes
 * by its container, the rest by its codec.
 */
export function fileFormatOf({ container, codec }: SourceFormat): FileFormat | null {
  if (codec === 'pcm' || codec === 'float')
    return container === 'wav' || container === 'aiff' ? container : null;
  if (codec === 'flac' && container !== 'flac') return null;
  return FILE_FORMATS.find((format) => format === codec) ?? null;
}

export const fileRules = [
  rule('file-format', ALL, (_, { analysis, profile }) => {
    const format = fileFormatOf(analysis.source);
    if (format && profile.media.formats.includes(format)) return null;
    const { codec, container } = analysis.source;
    return lost(
      { format: format ?? `${codec} in ${container}`, plays: profile.media.formats.join(' ') },
      COPY,
    );
  }),
  rule('file-sample-rate', ALL, (_, { analysis, profile }) => {
    const rate = analysis.source.sampleRate;
    const most = profile.media.maxSampleRate;
    return rate > most ? lost({ rate, most }, COPY) : null;
  }),
  rule('file-bit-depth', ALL, (_, { analysis, profile }) => {
    const bits = analysis.source.bitDepth ?? 0;
    const most = profile.media.maxBitDepth;
    return bits > most ? lost({ bits, most }, COPY) : null;
  }),
];
