/** What the app can be given: media types (IANA registry and common practice) with the endings of their files. */
export const AUDIO_TYPES: Readonly<Record<string, readonly string[]>> = {
  'audio/wav': ['.wav'],
  'audio/aiff': ['.aif', '.aiff', '.aifc'],
  'audio/mpeg': ['.mp3'],
  'audio/mp4': ['.m4a', '.mp4'],
  'audio/aac': ['.aac'],
  'audio/flac': ['.flac'],
  'audio/ogg': ['.ogg', '.oga', '.opus'],
};

/** For a file field. */
export const ACCEPT = ['audio/*', ...Object.values(AUDIO_TYPES).flat()].join(',');
